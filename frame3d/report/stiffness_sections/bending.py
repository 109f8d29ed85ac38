"""How the frame bends in each load case, as plain data for the 3D view.

The browser has the frame's meshes already, so only motions are sent: for each stretch of tube a few
places of its axis, and for each load case how far those move and how the sections turn there. The
viewer carries every corner of the meshes along (`viewer/client/bending.js`). So what is seen is the
frame itself, with its ovals, tapers and mitres, for some 20 kB in the page; meshes of eleven deflected
frames would be fifty times as much.

Displacements and rotations come as they are drawn, exaggerated; lengths in mm, angles in radians (the
viewer makes nothing else of them than a turn).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.report.stiffness_sections.case_picture import (
    STEPS,
    arrows,
    share_step,
    supports,
    times_drawn,
)
from frame3d.report.stiffness_sections.case_words import headline, how, largest, share, work
from frame3d.report.texts import Texts
from frame3d.stiffness.from_bike import plates_group
from frame3d.stiffness.of_bike import FORK, Bent, CaseResult, Stiffness
from frame3d.stiffness.structure import Spot
from frame3d.tubes.hardware import LinkPlate

APART: Final = 90.0
"""Places along a stretch are no further apart; between them a cubic follows the sections' turn [mm]."""


def bending_document(stiffness: Stiffness, texts: Texts) -> dict[str, Any]:
    """Return how the frame bends under each load case.

    Args:
        stiffness: of the frame as it is drawn.
        texts: of the page.
    """
    first = stiffness.bent(stiffness.cases[0].case.key)
    places = {name: [_places(bent.at) for bent in of] for name, of in first.items()}
    rigid = _rigid(stiffness)
    strands = {
        name: [_flat(bent.at[some], 2) for bent, some in zip(of, places[name], strict=True)]
        for name, of in first.items()
    }
    strands |= {name: [_flat(np.array([spot.at]), 2)] for name, spot in rigid.items()}
    return {
        "strands": strands,
        "legend": [
            texts(f"stiffness.legend.{name}")
            for name in ("least", "little", "some", "much", "most")
        ],
        "cases": [_case(stiffness, one, places, rigid, texts) for one in stiffness.cases],
    }


def _case(
    stiffness: Stiffness,
    one: CaseResult,
    places: dict[str, list[Array]],
    rigid: dict[str, Spot],
    texts: Texts,
) -> dict[str, Any]:
    """Return one load case: words, motions, colours, signs."""
    case = one.case
    bent = stiffness.bent(case.key)
    times = times_drawn(each.moved for of in bent.values() for each in of)
    stand, motion = stiffness.held[case.key]
    moved = {
        name: [_motions(each, some, times) for each, some in zip(of, places[name], strict=True)]
        for name, of in bent.items()
    }
    moved |= {name: [_six(times * stand.moved(motion, spot)[None])] for name, spot in rigid.items()}
    keys = {joined.beam.name: joined.beam.key for joined in stiffness.model.structure.beams}
    names = {key: name for name, key in reversed(keys.items())}

    def drawn(spot: Spot) -> Array:
        place: Array = np.array(spot.at) + times * stand.moved(motion, spot)[:3]
        return place

    asked = {name: drawn(spot) for name, spot in stiffness.spots.items() if name in case.needs()}
    return {
        "key": case.key,
        "title": case.title,
        "said": [headline(one, texts), how(one, texts), work(one, times, texts)],
        "moved": moved,
        "steps": {name: share_step(one.energy.get(key, 0.0)) for name, key in keys.items()},
        "labels": [
            [names[key], share(key, value, texts)]
            for key, value in largest(one)
            if value >= STEPS[0]
        ],
        "held": [_flat(place, 1) for place in supports(case, asked)],
        "loads": [_flat(np.array(arrow), 1) for arrow in arrows(case, asked)],
        "struts": [_flat(np.array([drawn(a), drawn(b)]), 1) for a, b in _struts(stiffness, one)],
    }


def _struts(stiffness: Stiffness, one: CaseResult) -> list[tuple[Spot, Spot]]:
    """Return what is rigid and no part of the frame: a fork to its axle, a post to the saddle."""
    spots, case = stiffness.spots, one.case
    found = []
    if case.fork:
        bottom = Spot(FORK, spots["head_tube_bottom"].at)
        found.append((bottom, spots["front_axle"]))
    if any(force.spot == "saddle" for force in case.forces):
        found.append((spots["seat_tube_top"], spots["saddle"]))
    return found


def _rigid(stiffness: Stiffness) -> dict[str, Spot]:
    """Return where the frame's rigid parts are taken: shell, housings, lugs, plates of links."""
    bike, groups = stiffness.model.bike, stiffness.model.structure.groups
    of = {part.name: part.name for part in bike.pivots}
    of |= {
        part.name: plates_group(part.link) for part in bike.pivots if isinstance(part, LinkPlate)
    }
    shell = stiffness.spots["bottom_bracket"].group
    of[shell] = shell
    found = {}
    for name, group in of.items():
        if group in groups:
            x, y, z = (float(v) for v in groups[group])
            found[name] = Spot(group, (x, y, z))
    return found


def _places(at: Array) -> Array:
    """Return which points of a stretch are sent: its ends, and others no more than `APART` apart."""
    run = np.concatenate(([0.0], np.cumsum(np.linalg.norm(np.diff(at, axis=0), axis=1))))
    wanted = np.linspace(0.0, run[-1], 1 + int(np.ceil(run[-1] / APART)))
    near: Array = np.unique(np.abs(run[:, None] - wanted).argmin(axis=0))
    return near


def _motions(bent: Bent, some: Array, times: float) -> list[float]:
    return _six(times * np.hstack([bent.moved[some], bent.turned[some]]))


def _six(motions: Array) -> list[float]:
    """Return displacements [mm] and rotations [rad] of places one after another: (n, 6)."""
    return [round(float(v), 2 if i % 6 < 3 else 4) for i, v in enumerate(motions.ravel())]


def _flat(points: Array | Sequence[float], decimals: int) -> list[float]:
    return [round(float(v), decimals) + 0.0 for v in np.ravel(points)]
