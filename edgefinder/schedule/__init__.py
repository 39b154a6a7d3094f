"""The schedule of a pattern release, size by size."""
