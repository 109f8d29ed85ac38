"""Certified least gap over all positions, by branch and bound.

See the docstrings of `clearance/certify/search.py`, `bounds.py` (why its bounds hold),
`positions.py` and `signed_distance.py`; what the numbers are called is in `records.py`. Every pair
is a tube (flat elliptic sections along an axis) against a shape with a closed-form signed distance;
a body that must be measured both ways carries both. The search splits boxes of (place on the tube ×
motions) best-first; each box's sections are bounded by one plane, and the search ends when the
lowest bound is within the tolerance of the lowest value found; `Gap.error` is that width, and
honest where a search met its limit (a few depths under several motions, mostly in discs that are
thicker in the middle). A tube ends where its metal ends: it runs from its first metal to its last,
and what cuts it (`Tubular.cutters`, from `Tube.cut_by`) goes along as pieces of its own; boxes that
lie inside a cutter are dropped, those at the edge of one cut or the corner of two get a second
plane (`cutters.py`), as a first-order bound there took fifty times the boxes. Compiled code is
cached by numba beside the source, or in the user's cache folder where that cannot be written, under
a name that holds a check sum of all compiled files; compiling anew takes 8 to 15 s.

The rear suspension in it. A body on a link has a mount with one step of the kind SWING: a table of
its rigid motion over the rear wheel's travel with cubics between (`bodies/motion/swing.py`, made
from the linkage's own velocities in `linked.py` there; good to 1e-6 mm a metre away).
`certify/motion.py` puts one link's table against another's into the shape's axes, as a turn about a
point near the tube and that point's shift (a turn about the shape's own origin would let far tubes
sweep wide in the bounds: seven times as many boxes), with bounds of the cubics' first two
derivatives; `positions.move` takes it from there like any other step. Poses
(`bodies/motion/pose.py`), exports and the page read the same tables. Each pair check runs over the
rear travel as well as over its own motions; those that change nothing between two bodies fall out
by themselves. What the balls about tubes and shapes keep apart at places all over the motions is
never made ready (`certify/broad_phase.py`). All lines of a check are searched in one compiled call,
a few likely pairs of each at a time; in each line the least gap so far cuts off the next search
(`pairs.least`). Where only the verdict is asked for, each search is cut off at the required gap, and
only lines that are not proven to be further apart are measured (`pairs.judged`).
"""
