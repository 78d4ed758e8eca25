"""Pages, as files and in a real browser."""
