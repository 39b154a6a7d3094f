"""Pattern interchange in DXF (ASTM D6673, ANSI/AAMA-292): pieces as they are meant.

It works on what the DXF reader returns and knows no file format but the small text file
of grade rules.

The way of a file: `detection` (is it one), `scale` (the unit), `contents` (what belongs
to which piece), `outlines` (closed lines), `drawn_notches`, `marks` (corners and curve
points), `marked_line` (the smooth line), `draft` and `finishing` (one piece),
`notches`, `grade_rules` and `grading` (the other sizes), `reading` (all of it).
"""
