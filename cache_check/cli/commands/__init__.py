"""One command per file.

The file's name is the command's name and the first line of its docstring its help in one line, read as text.  It
defines ``command``.  Its place in the list is said in ``front.py``.
"""
