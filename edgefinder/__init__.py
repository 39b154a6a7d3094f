"""From a drawn sewing pattern to a binding schedule."""

__version__ = "0.1.0"
