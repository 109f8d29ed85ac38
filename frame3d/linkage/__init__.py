"""Rear suspension as a planar mechanism: poses, curves, springs and sag. Needs only numpy.

`linkage/mechanism.py` writes the linkage as equations in the turns of its links; `blocks.py` orders
them into blocks: a link on the shock and two links in a loop have closed forms, whatever is left
goes by Newton's method. `trace.py` follows them along the stroke and accepts poses only as far as
turns, speeds and accelerations say the same, so that no branch is changed unseen; where it ends,
`deadpoint.py` says why. First and second derivatives come with every pose; curves take them, never
differences. `exchanged.py` says what an exchanged point (a flip chip) or another shock makes of a
built suspension; `reassembly.py` leads the made links to where they meet again. `bike/weight.py` has
the common centre of mass of rider and bicycle, `bike/travel.py` all that `solve --travel` shows.
"""

from frame3d.linkage.curves.curves import Curves, Forces, Gear, SuspensionInputs, forces, wheel_load
from frame3d.linkage.curves.sag import Sag, equilibrium_sag, shock_load, sold_coils, target_sag
from frame3d.linkage.curves.springs import Air, Coil, Spring, Table, spring_of
from frame3d.linkage.exchanged import Exchanged, exchange_linkage
from frame3d.linkage.motion import LinkageMotion
from frame3d.linkage.points import OnTube, beside
from frame3d.linkage.result import Linkage, LinkagePose
from frame3d.linkage.solve import solve_linkage

__all__ = [
    "Air",
    "Coil",
    "Curves",
    "Exchanged",
    "Forces",
    "Gear",
    "Linkage",
    "LinkageMotion",
    "LinkagePose",
    "OnTube",
    "Sag",
    "Spring",
    "SuspensionInputs",
    "Table",
    "beside",
    "equilibrium_sag",
    "exchange_linkage",
    "forces",
    "shock_load",
    "sold_coils",
    "solve_linkage",
    "spring_of",
    "target_sag",
    "wheel_load",
]
