"""One command per file, which is named after it and defines ``command``; the line of help of each is in ``main.py``."""
