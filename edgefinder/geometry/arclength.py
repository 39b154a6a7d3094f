"""Arc length of segments (being filled in)."""
