"""A file per kind of sheet: KIND (the word of ``--only``), NAME, ORDER, what in a report it is OF, and ``sheet``."""
