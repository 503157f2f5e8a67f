"""View data and shapes to HTML fragments, SVG and files. Nothing is computed here."""
