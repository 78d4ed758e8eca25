"""Tables for those who never see YAML: a workbook, or a folder of CSV files, as the same data that YAML gives.

``grid`` is a sheet as cells, and the data made of them; ``cells`` says what a cell is; ``layout``, by ``sheets.yaml``,
where rows belong, both ways; ``sheet`` matches heads and cells, and puts all together; ``xlsx`` alone knows openpyxl.
"""
