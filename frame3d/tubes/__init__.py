"""Tubes in place: axis, section, cut ends, build order, bores, mass; no CAD kernel."""
