"""The layouts of sheets, each with ``read(sheet, at)`` and ``rows(data)``, both ways of one meaning.

``read`` puts what the rows say into the sheet's page under the route ``at``; ``rows`` gives, for each row to write,
the value of every column by its head.
"""
