"""One file per kind of assembly rule; the file's name is the kind's name, its class is ``Check``."""
