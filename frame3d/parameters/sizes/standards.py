"""Standard sizes of the trade, each with its source and how reliable that is.

The reliability of a value is written beside it:

- *published*: text of a standard, law, handbook or data sheet, or a document that reproduces it;
- *derived*: computed here from stated inputs;
- *trade pages*: seen on trade pages only, no standard read;
- *common practice, no source*;
- *from memory of ...*: the named standard, not read again.

None of it replaces the drawing of the part in hand: wherever a name is accepted, plain millimetres
are accepted too.
"""

from __future__ import annotations

from frame3d.parameters.sizes.headsets import (
    CONTACTS,
    CROWN_SEATS,
    INTEGRATED_BORES,
    PRESSED_BORES,
    STEERERS,
    Cup,
    cup,
)
from frame3d.parameters.sizes.hubs import HUBS, Hub, hub, slot_of
from frame3d.parameters.sizes.materials import MATERIALS, Material, material
from frame3d.parameters.sizes.seatposts import SEATPOSTS
from frame3d.parameters.sizes.shells import SHELLS, ShellSize, shell
from frame3d.parameters.sizes.shocks import SHOCKS, Shock, shock
from frame3d.parameters.sizes.tyres import BEAD_SEATS, Tyre, tyre
from frame3d.parameters.sizes.unknown import UnknownSize

__all__ = [
    "BEAD_SEATS",
    "CONTACTS",
    "CROWN_SEATS",
    "HUBS",
    "INTEGRATED_BORES",
    "MATERIALS",
    "PRESSED_BORES",
    "SEATPOSTS",
    "SHELLS",
    "SHOCKS",
    "STEERERS",
    "Cup",
    "Hub",
    "Material",
    "ShellSize",
    "Shock",
    "Tyre",
    "UnknownSize",
    "cup",
    "hub",
    "material",
    "shell",
    "shock",
    "slot_of",
    "tyre",
]
