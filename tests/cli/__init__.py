"""Tests; see the package of the same name."""
