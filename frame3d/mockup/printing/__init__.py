"""Splitting, orienting and nesting parts on the printer's plates."""
