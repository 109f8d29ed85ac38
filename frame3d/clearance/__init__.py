"""Certified gaps between everything that moves and everything that does not."""
