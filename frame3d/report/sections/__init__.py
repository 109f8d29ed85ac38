"""Sections of the page, one module each; their markup is complete without scripts."""
