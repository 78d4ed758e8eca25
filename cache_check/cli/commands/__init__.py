"""One command per file.

The file's name is the command's name, the first line of its docstring its help in one line, and a line
``ORDER = 10`` says where it stands in the list; all three are read as text.  It defines ``command``.
"""
