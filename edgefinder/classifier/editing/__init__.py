"""Writing into a job file without touching what a person wrote in it."""
