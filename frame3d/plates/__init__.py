"""Flat parts: gussets, tabs and plates with outlines of their own, placed on the tubes.

A plate has an outline in a plane of its own (`geometry.outline`) and two heights above that plane
(`tubes.plate.Plate`). Where it stands on a tube its outline ends where both its faces touch the tube;
its solid reaches deeper and is cut by the tube's outside, so it fits all over its thickness. The
difference is a few tenths of a millimetre that the builder files or welds. `placing.py` places what the
file names; `flat_parts.py` lists every flat part of a frame with its outline, the plates of links among
them, for sheets. Bodies, solids, masses and the scale model all start from `Plate`.
"""
