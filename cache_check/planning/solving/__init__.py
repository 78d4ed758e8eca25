"""Programmes in whole numbers, and how their answers are proven; the one solver stands behind these ports."""
