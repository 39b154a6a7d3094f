"""The job file, and which edges of which pieces it says are bound."""
