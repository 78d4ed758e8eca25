"""``open``: a page (``serve.py``) that asks one worker at a time (``desk.py``), and what that does (``answer.py``)."""
