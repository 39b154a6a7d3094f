"""What of another drawing of a piece is what of this one: pieces, outlines, edges."""
