"""Tape, cloth, and the line that a run of tape follows."""
