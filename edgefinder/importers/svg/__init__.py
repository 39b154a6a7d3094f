"""SVG files to drawn lines: a walk of the tree of our own over exact segments.

The way of a file: `xml` (text to elements), `walk` (what is drawn, and where),
`style`, `sheet` and `colours` (how it looks), `units`, `viewport` and `transform`
(where it lies), `shapes`, `path_data` and `arc` (what it is), `subpath` (to exact paths
in millimetres).
"""
