"""Drawn lines to pieces with numbered edges, and to the outline as it is bound."""
