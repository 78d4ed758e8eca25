"""Whole pages of the sample caches, kept as files."""
