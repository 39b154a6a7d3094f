"""Words about each run to paste into the instructions of a pattern."""
