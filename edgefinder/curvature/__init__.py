"""Whether the tape lies flat: the band, places and verdicts, corners, advice."""
