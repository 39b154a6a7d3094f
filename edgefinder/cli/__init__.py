"""The command line: the only place that knows click, prints and exits."""
