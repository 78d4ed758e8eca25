"""What rules find or count, by theme; ``check_book_age`` is what ``check`` asks of the kind ``book_age``."""
