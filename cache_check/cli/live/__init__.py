"""``open``: a page on this machine that answers beside the files while they are changed.

``server.py`` is its door, ``desk.py`` asks one worker at a time, ``answer.py`` is what the worker does with a question.
"""
