"""Drawings, a file each: the same drawing stands on a page and in the file of ``--plot``.  Matplotlib only here."""
