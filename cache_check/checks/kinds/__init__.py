"""One file per kind of rule that finds or counts something; the file's name is the kind's name."""
