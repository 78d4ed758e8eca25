"""Values that others published, asked of the program."""
