"""A file per kind of sheet.  Each has KIND (the word of ``--only``), NAME, ORDER, and ``sheets``, which makes them."""
