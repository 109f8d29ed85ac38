"""The moving picture: outlines with fewer points, and what the script is told."""

from __future__ import annotations

import json
from functools import cache

import numpy as np
import pytest
from shapely import LinearRing, Polygon

from frame3d.bodies import bodies_of
from frame3d.report.ride_sections.moving_bike import (
    has_returns,
    moving_parts,
    part_symbols,
    picture,
    returns_document,
    thinned,
)
from frame3d.report.side import Side
from frame3d.ride.damping.of_bike import Damping
from tests.report.samples import minimal_bike
from tests.ride.damping.bikes import DAMPED, bike, damping

SAGS = {"rear": 45.5, "fork": 33.0}


@cache
def side() -> Side:
    return Side(bike(*DAMPED), bodies_of(bike(*DAMPED)))


def test_thinned_circle() -> None:
    """Stays within the distance both ways (Hausdorff, by shapely), with a fraction of the points."""
    turn = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    loop = 370 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    few = thinned(loop, 2.5)
    assert 15 < len(few) < 60
    assert LinearRing(few).hausdorff_distance(LinearRing(loop)) < 2.6
    assert Polygon(few).area == pytest.approx(Polygon(loop).area, rel=0.02)


def test_thinned_keeps_corners() -> None:
    corners = np.array([(0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0)])
    dense = np.concatenate(
        [
            np.linspace(a, b, 20, endpoint=False)
            for a, b in zip(corners, np.roll(corners, -1, 0), strict=True)
        ]
    )
    few = thinned(dense, 1.0)
    assert {tuple(p) for p in np.round(few)} == {tuple(p) for p in corners}
    assert thinned(corners[:3], 1.0) is not None
    assert len(thinned(np.tile([[3.0, 4.0]], (5, 1)), 1.0)) == 5


def test_small() -> None:
    """The pictures' outlines and their figures stay small in the page."""
    parts = moving_parts(side())
    document = returns_document(side(), damping(*DAMPED), SAGS)
    assert len(part_symbols(parts)) < 12_000
    assert len(json.dumps(document, separators=(",", ":"))) < 10_000
    shown = picture(side(), parts, "Bike")
    assert shown.count("<use") == len(parts)
    assert 'aria-label="Bike"' in shown


def test_parts_move_with_their_links() -> None:
    """At full travel the axle link's matrix takes the drawn axle to where the linkage has it."""
    document = returns_document(side(), damping(*DAMPED), SAGS)
    linkage = side().bike.linkage
    assert document is not None
    assert linkage is not None
    names = [None if p.mount is None else p.mount.name for p in moving_parts(side())]
    a, b, e, f = document["parts"][names.index(linkage.axle_link)]["at"][-1]
    x, y = document["axles"]["rear"]["at"]
    there = (a * x - b * y + e, b * x + a * y + f)
    assert there == pytest.approx(document["axles"]["rear"]["places"][-1], abs=0.05)
    assert -there[1] - -y == pytest.approx(linkage.full_travel, abs=0.05)
    fork = document["parts"][names.index("fork")]
    assert fork["by"] == "fork"
    assert fork["at"][-1][2:] == pytest.approx(
        [150 * u for u in document["axles"]["front"]["up"]], abs=0.02
    )


def test_runs() -> None:
    """Rear as computed, fork along its stanchions; both from the hit to near their rest."""
    document = returns_document(side(), damping(*DAMPED), SAGS)
    rear = damping(*DAMPED).rear
    assert document is not None
    assert rear is not None
    for run in document["runs"]:
        assert run["rear"][0] == pytest.approx(rear.hit, abs=0.05)
        assert run["fork"][0] == pytest.approx(0.7 * 150, abs=0.05)
        assert len(run["rear"]) == len(document["time"])
    assert document["rest"]["fork"] == pytest.approx(33.0, abs=0.05)


def test_one_end_stands_still() -> None:
    part = damping(*DAMPED)
    document = returns_document(side(), Damping(None, part.rear, (), ()), SAGS)
    assert document is not None
    assert [run["fork"] for run in document["runs"]] == [None] * 3
    assert document["rest"]["fork"] == 33.0


def test_hardtail() -> None:
    hard = bike(name="trail_hardtail_29")
    own = Side(hard, bodies_of(hard))
    document = returns_document(own, damping(name="trail_hardtail_29"), {"fork": 32.5})
    assert document is not None
    assert list(document["travels"]) == ["fork"]
    assert len(document["axles"]["rear"]["places"]) == 1
    assert [run["rear"] for run in document["runs"]] == [None] * 3


def test_no_picture() -> None:
    assert returns_document(side(), None, {}) is None
    assert not has_returns(Damping(None, None, (), ()))
    assert moving_parts(Side(minimal_bike(), bodies_of(minimal_bike()))) == ()
