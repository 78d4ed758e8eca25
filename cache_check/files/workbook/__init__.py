"""Tables for those who never see YAML: a workbook, or a folder of CSV files, as the same data that YAML gives.

``grid`` is a sheet as cells; ``cells`` says what a cell means; ``layout`` and ``sheet`` match headings and rows, and
``lines`` does so for sheets of single lines; ``sheets`` has one file per sheet; ``draft`` builds data and keeps each
value's cell; ``tables`` puts all of it together in both directions; ``xlsx_in`` and ``xlsx_out`` are the only files
that know openpyxl.
"""
