"""Tubes in place, with sections, cut ends, build order, bores and masses; no CAD kernel.

`bike/place_tubes.py` sorts the tubes by what they sit on, places ends and bends, lays out sections
along the axis and cuts ends (`placing/`: `build_order.py`, `junctions.py`, `stations.py`, `ends.py`);
`cuts/` has the mitres (`mitre.py`) and finds what else cuts a tube (`overlap.py`). Whoever solves one
bike after the other hands `solve` a `Cache` (`chart/cache.py`): cuts and overlaps are taken from it by
the values that they follow from, so results are the same to the bit.

`cuts/edge.py` says where a tube's metal ends: the `MitreCut` of the end's own target where that is all,
else the zero line of the largest of several fields over (turn, length), followed on a grid and made
exact (`contour.py`), so that compound ends, undercuts and openings are one case. Cut lengths, in
geometry.json, report and workshop pack alike, are `Cutting.cut_length`. `solids/` sweeps the
outside and the bore of each, cuts them by the outsides of the bodies in `Tube.cut_by`, and fuses.

Seats. `seats.py` says how wide a tube is inside along a stretch; with it `placing/fittings.py` holds
head tubes to their cups and the seat tube to its post. `bike/seatpost.py` adds up what stands out of
the seat tube and what goes down in it, for `solve`, checks, report and parts list alike.
"""
