"""DXF files to drawn lines: ezdxf reads the file, the geometry is our own and exact.

The way of a file: `sniff` (what it is), `units` (how long a drawing unit is),
`document` (ezdxf's; with `encoding`, `binary`, `repair`, and large polylines by `table`
and `vertices`), `counting` (before blocks are unfolded), `blocks` and `layers` (what is
drawn, and where), `entities`, `polylines` and `spline` (to exact segments), `texts` and
`tally`.
"""
