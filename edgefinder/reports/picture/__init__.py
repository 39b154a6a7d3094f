"""Pictures of pattern pieces in SVG: bound edges, runs and places to watch."""
