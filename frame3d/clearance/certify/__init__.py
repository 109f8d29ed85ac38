"""Certified least gap over all positions, by branch and bound."""
