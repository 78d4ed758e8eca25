"""How answers are shown: one page per answer, and the same facts as a table, Markdown, CSV or JSON."""
