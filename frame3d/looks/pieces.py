"""Every part's pieces, by the part's name."""

from __future__ import annotations

from collections.abc import Mapping

from frame3d.bike.bike import Bike
from frame3d.bodies.body import Bodies
from frame3d.bodies.placement import Placement
from frame3d.looks.cockpit import cockpit
from frame3d.looks.drivetrain import drivetrain
from frame3d.looks.extras import bottles, shock
from frame3d.looks.fork import fork
from frame3d.looks.piece import Piece
from frame3d.looks.seat import seat
from frame3d.looks.shoe import shoe
from frame3d.looks.wheel import wheel


def quick(looks: Mapping[str, tuple[Piece, ...]]) -> Mapping[str, tuple[Piece, ...]]:
    """Return looks without what is fine: a part that has nothing else is drawn as its outline."""
    plain = {name: tuple(p for p in pieces if not p.fine) for name, pieces in looks.items()}
    return {name: pieces for name, pieces in plain.items() if pieces}


def looks_of(bike: Bike, carried: Bodies) -> Mapping[str, tuple[Piece, ...]]:
    """Return the pieces of each part that has any; others are drawn as their outlines."""
    place = Placement(bike)
    bodies = {body.name: body for body in carried.bodies}
    found: dict[str, list[Piece]] = {}
    for pieces in (
        wheel(bodies, "front"),
        wheel(bodies, "rear"),
        seat(bodies, place),
        fork(bodies, place),
        cockpit(bodies, place),
        drivetrain(bodies, place),
        shoe(bodies),
        bottles(bodies, place),
        shock(bodies),
    ):
        for name, piece in pieces:
            if bodies[name].drawn:
                found.setdefault(name, []).append(piece)
    return {name: tuple(pieces) for name, pieces in found.items()}
