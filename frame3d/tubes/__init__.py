"""Axis, section, cut ends, build order, bores, mass; no CAD kernel."""
