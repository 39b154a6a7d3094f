"""SVG files to drawn lines: a walk of the tree of our own over exact segments.

The way of a file: `encoding`, `lifted` and `xml` (bytes to elements), `walk` (what is
drawn, and where), `declarations`, `sheet`, `style` and `colours` (how it looks),
`names` (what it is called), `units`, `viewport`, `transform` and `place` (where it
lies), `shapes` (what it is) and `outlines`, which reads many of them at once: plain
path data through `path_entries`, `path_numbers`, `path_tokens`, `path_steps` and
`path_table`, all other through `path_data`, both with `arc`. `subpath` makes exact
paths in millimetres.
"""
