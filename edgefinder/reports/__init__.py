"""Results to text, JSON and CSV. Nothing here measures."""
