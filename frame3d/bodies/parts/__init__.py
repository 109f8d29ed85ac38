"""Outlines of the parts that the frame carries, one module a kind of part."""
