"""Tables for those who never see YAML: a workbook, or a folder of CSV files, as the same data that YAML gives.

``grid`` is a sheet as cells; ``cells`` says what a cell means; ``layout`` and ``sheet`` match headings and rows, for
sheets of single lines too; ``sheets`` has the layout of each; ``place`` builds data and keeps each value's cell;
``tables`` puts all of it together in both directions; ``xlsx_in`` and ``xlsx_out`` alone know openpyxl.
"""
