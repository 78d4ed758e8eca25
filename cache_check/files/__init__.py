"""How things arrive: text in, model out, with the place of everything that is wrong; a module per kind of file."""
