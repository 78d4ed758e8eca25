"""The verbs: from caches to answers.  The commands use these and nothing deeper.

A verb takes what was read, and returns a typed result in base units
(``cache_check.model``).  What a verb needs is imported when it is called, so that importing its file is light.
"""
