"""The geometry kernel: lines, cubics and conic arcs, measured exactly.

It knows neither files nor sewing, and imports numpy only.

Conventions
-----------
- Lengths are millimetres, angles radians, curvature 1/mm.
- Inside the kernel a point is one complex number, x + iy with y up; what leaves
  it for people is an array of shape (n, 2).
- All segments stand in one table (`segments.Segments`), so that a whole drawing
  is measured in a few numpy calls.
- A closed path that runs anticlockwise has positive area; curvature is positive
  where a left turn follows the path, so that a circle of radius r run
  anticlockwise has +1/r everywhere.
- Arc length starts at 0 at the start of a path.
- Arrays handed out are read-only.
"""
