"""How things arrive: text in, model out, with the place of everything that is wrong.

``text`` turns bytes into plain data, ``mistakes`` knows where each key stood and says in plain words what is wrong,
``reading`` collects that for one file; then one module per kind of file.
"""
