"""A local page on which a job file is written by pointing at edges."""
