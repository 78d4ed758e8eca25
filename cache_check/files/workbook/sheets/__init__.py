"""One file per sheet.  Each has ``TABLE``, ``read(sheet, draft, at)`` and ``rows(data)``, both ways of one meaning.

``read`` puts what the rows say into a draft under the route ``at``; ``rows`` gives, for each row to write,
the value of every column by its head.
"""
