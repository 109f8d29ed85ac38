"""Slow work in processes of its own: checks, curves, solids, comparisons, files."""
