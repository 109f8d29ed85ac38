"""Tubes in place, with sections, cut ends, build order, bores and masses; no CAD kernel."""
