"""Tables for those who never see YAML: a workbook, or a folder of CSV files, as the same data that YAML gives."""
