"""The schedule of a release as one HTML page that needs nothing else."""
