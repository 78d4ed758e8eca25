"""Lets ``python -m cache_check`` do what ``cache-check`` does."""

from cache_check.cli.main import run

run()
