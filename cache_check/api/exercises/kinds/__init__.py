"""Kinds of exercise: one file each, found by its name."""
