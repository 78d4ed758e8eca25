"""``open``: a page on this machine that answers beside the files while they are changed.

``serve.py`` has the pages and their door, ``desk.py`` asks one worker at a time, ``answer.py`` is what that does.
"""
