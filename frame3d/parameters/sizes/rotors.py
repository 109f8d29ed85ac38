"""Where a wheel's brake rotor stands beside its hub."""

from __future__ import annotations

from typing import Final, Literal

from frame3d.parameters.sizes.hubs import slot_of

ROTOR_FACE: Final = {"front": 10.5, "rear": 15.3}
"""Distance from the hub's shoulder in to the face that the rotor is bolted to [mm]: hubs of 100 mm in
front and of 135 mm behind (common practice, no source)."""
ROTOR_THICKNESS: Final = 1.8
"""Thickness of a rotor [mm]; common practice, no source."""

End = Literal["front", "rear"]


def shoulder_of(end: End, width: float) -> float:
    """Return how far a hub's shoulder is in from the dropout's inner face [mm].

    Rotor and cassette keep their place from the shoulder, the end of the hub that met an open
    dropout before slots came. A rear thru axle hub's ends go 3.5 mm further, into the dropouts' slots
    (`sizes.hubs.SLOT`), so the shoulders of 142, 148 and 157 are those of 135, 141 and 150.

    Derived: 142 keeps the hub of 135 and its calipers, so the rotor's face stays 67.5 - 15.3 =
    52.2 mm from the centre plane, 71 - 52.2 = 18.8 mm from the end. On 148 flanges and rotor stand
    3 mm further out on each side than on 142 (flanges 6 mm wider, chainline 3 mm more: trade pages),
    55.2 mm, again 18.8 mm from the end; by the shoulder 141/2 - 15.3 = 55.2: the same. On 157
    (150 + 2 × 3.5) 59.7 mm, 18.8 mm from the end. In front no hub has slots: 110 moves flanges and
    rotor out with its ends, 5 mm a side, as trade adapters from 100 do (common practice, no source).
    Front hubs of 110x20 older than those flanges hold the rotor where 100 does, 15.5 mm from the end
    (from memory, no source): for them the file gives ``rotor_inset``.
    """
    return slot_of(width) if end == "rear" else 0.0


def rotor_inset(end: End, width: float, given: float | None = None) -> float:
    """Return how far a rotor's middle is in from the dropout's inner face [mm].

    A rotor is bolted onto the outer side of its face, so its middle is half its thickness nearer
    to the dropout than the face: rear 14.4 mm in from the dropout at 135, 17.9 mm at 142, 148 and
    157; front 9.6 mm.

    Args:
        end: which wheel.
        width: of its hub, between the dropouts' inner faces [mm].
        given: what the file gives.
    """
    if given is not None:
        return given
    return shoulder_of(end, width) + ROTOR_FACE[end] - ROTOR_THICKNESS / 2
