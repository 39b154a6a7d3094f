"""Copies of a person's own drawing with a layer of edge numbers, runs and places."""
