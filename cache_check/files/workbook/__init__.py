"""Tables for those who never see YAML: a workbook, or a folder of CSV files, as the same data that YAML gives.

``grid`` is a sheet as cells, and the data put together from them; ``cells`` says what a cell means; ``layout`` and
``sheet`` match headings and rows; ``sheets`` has the layout of each; ``tables`` puts all of it together in both
directions; ``xlsx`` alone knows openpyxl.
"""
