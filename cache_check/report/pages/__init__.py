"""Pages that people pin up, carry and sign: one self-contained HTML file, the same facts as the other renderings."""
