"""Frames that are not the demo: ovals, bends, bars, gussets, tubes that pass by, closed tubes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import trimesh

from frame3d.errors import SolidError
from frame3d.solids import make, occ
from frame3d.solids.bodies import bodies
from frame3d.solids.body_meshes import frame_mesh
from frame3d.solids.mesh import Mesh
from frame3d.tubes.cuts.vents import VENT, vents
from frame3d.tubes.mass import masses_of
from tests.bikes import hardtail_layout
from tests.frames import bar, context

MAST = bar(40.0, (0, 0, 0), (0, 0, 400), 2.0)

CASES: dict[str, dict[str, Any]] = {
    "oval on oval": {
        "mast": bar({"height": 30.0, "width": 50.0}, (0, 0, 0), (0, 0, 400), 2.0),
        "beam": bar(
            {"height": 40.0, "width": 26.0}, {"on": "mast", "from_start": 200.0}, (300, 0, 260), 1.5
        ),
    },
    "tapered oval on cone": {
        "mast": bar({"start": 60.0, "end": 40.0}, (0, 0, 0), (0, 0, 200), 2.0),
        "beam": bar(
            {"start": {"height": 44.0, "width": 30.0}, "end": 28.0},
            {"on": "mast", "from_start": 100.0},
            (300, 40, 160),
            1.0,
        ),
    },
    "on a bent tube": {
        "mast": bar(
            40.0,
            (0, 0, 0),
            (0, 0, 400),
            2.0,
            bends=[{"along": 200.0, "rise": 40.0, "radius": 250.0}],
        ),
        "beam": bar(25.0, {"on": "mast", "from_start": 200.0}, (300, 0, 260), 1.5),
    },
    "bar, and a tube on a bar": {
        "mast": bar(30.0, (0, 0, 0), (0, 0, 400)),
        "beam": bar(25.0, {"on": "mast", "from_start": 200.0}, (300, 0, 260), 1.5),
        "brace": bar(
            12.0, {"on": "mast", "from_start": 80.0}, {"on": "beam", "from_start": 150.0}, "solid"
        ),
    },
    "gusset between two tubes": {
        "mast": MAST,
        "beam": bar(30.0, {"on": "mast", "from_start": 250.0}, (300, 0, 250), 1.0),
        "gusset": bar(
            20.0, {"on": "mast", "from_start": 200.0}, {"on": "beam", "from_start": 60.0}, 1.0
        ),
    },
    "hangs over an end": {
        "mast": MAST,
        "beam": bar(36.0, {"on": "mast", "from_end": 5.0}, (300, 0, 330), 1.0),
    },
    "as thick as what it sits on": {
        "mast": MAST,
        "beam": bar(40.0, {"on": "mast", "from_start": 200.0}, (300, 0, 200), 1.0),
    },
    "passes by": {
        "mast": MAST,
        "beam": bar(16.0, {"on": "mast", "from_start": 200.0, "y": 16.0}, (300, 16, 250), 1.0),
    },
    "S-bend out of its plane": {
        "mast": MAST,
        "beam": bar(
            {"start": {"height": 28.0, "width": 16.0}, "end": 14.0},
            {"on": "mast", "from_start": 200.0},
            (400, 60, 300),
            {"butted": [1.2, 0.8], "lengths": [60.0], "transition": 60.0},
            bends=[
                {"along": 120.0, "y": 40.0, "rise": 20.0, "radius": 150.0},
                {"along": 260.0, "y": 20.0, "rise": -20.0, "radius": 150.0},
            ],
        ),
    },
}


@pytest.mark.parametrize("case", CASES)
def test_case(case: str) -> None:
    """Solids, meshes and the integration without either agree; nothing is left closed or loose."""
    model = make(context(CASES[case]))
    for part in model.parts:
        assert len(occ.solids(part.shape)) == 1
        assert model.meshes[part.name].volume == pytest.approx(part.volume, rel=1e-3), part.name
    for name, grams in masses_of(model.bike.frame).parts.items():
        assert model.part(name).mass == pytest.approx(grams, rel=5e-3), name
    whole = frame_mesh(model.bodies)
    assert shells(whole) == 1
    assert whole.volume == pytest.approx(model.volume, rel=2e-4)
    assert occ.bulk(model.fused).volume == pytest.approx(model.volume, rel=1e-5)
    assert len(occ.shells(model.fused)) == 1


def test_no_metal_hooks_over_the_end_of_a_tube() -> None:
    """The beam, which hangs over the mast's top, is cut as if the mast ran on."""
    model = make(context(CASES["hangs over an end"]))
    beam = model.meshes["beam"].vertices
    above = beam[beam[:, 2] > 400.5]
    assert len(above) > 5
    assert np.hypot(above[:, 0], above[:, 1]).min() > 20 - 0.06


def test_closed_tubes_are_vented() -> None:
    """Without the vents a tube's inside is a boundary of its own, and the STL is not one shell."""
    layout = context(CASES["gusset between two tubes"])
    made = bodies(layout)
    assert len(vents(layout.frame)) == 1  # mast and beam have open ends
    plain = [replace(body, drills=()) for body in made]
    assert shells(frame_mesh(plain)) == 2
    assert shells(frame_mesh(made)) == 1


def shells(mesh: Mesh) -> int:
    """Closed surfaces of a mesh, by trimesh."""
    other = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    assert other.is_watertight
    return len(other.split(only_watertight=False))


def test_loose_pieces_are_noted() -> None:
    loose = {**CASES["gusset between two tubes"], "other": bar(20.0, (0, 90, 0), (0, 90, 99), 1.0)}
    model = make(context(loose))
    (note,) = model.notes
    assert note.code == "warning"
    assert note.message.endswith("2 pieces that do not touch: mast, beam, gusset; other")
    with pytest.raises(SolidError, match="falls into 2 solids"):
        _ = model.fused
    assert make(context(CASES["gusset between two tubes"])).notes == ()


def test_a_tube_between_two_bars_is_vented_through_its_own_wall() -> None:
    layout = context(
        {
            "low": bar(30.0, (0, 0, 0), (300, 0, 0)),
            "high": bar(30.0, (0, 0, 200), (300, 0, 200)),
            "post": bar(
                24.0, {"on": "low", "from_start": 150.0}, {"on": "high", "from_start": 150.0}, 1.0
            ),
        }
    )
    (vent,) = vents(layout.frame)
    assert vent.bodies == ("post",)
    assert shells(frame_mesh(bodies(layout))) == 1


def test_a_vent_comes_out_of_what_else_cuts_its_tube() -> None:
    """A post that starts in the side of a beam beside it: the hole goes on through that."""
    on_hub = {"on": "hub", "from_start": 40.0}
    layout = context(
        {
            "hub": bar(46.0, (0, -40, 0), (0, 40, 0), 3.0),
            "top": bar(30.0, (10, -40, 200), (10, 40, 200)),
            "beam": bar(46.0, on_hub, (110, 0, 260), 2.0),
            "post": bar(34.0, on_hub, {"on": "top", "from_start": 40.0}, 2.0),
        }
    )
    (vent,) = vents(layout.frame)
    assert vent.bodies == ("hub", "beam")
    assert vent.hole.axis.length > 40  # the hub alone would take 23 + 3
    assert shells(frame_mesh(bodies(layout))) == 1


def test_a_vent_reaches_the_middle_of_a_tube_that_the_end_lies_beside() -> None:
    """The post's end was asked for 14 mm beside the axis of a host that is bored 26 wide."""
    layout = context(
        {
            "host": bar(30.0, (0, 0, 0), (300, 0, 0), 2.0),
            "top": bar(30.0, (100, 200, 0), (200, 200, 0)),
            "post": bar(
                20.0,
                {"on": "host", "from_start": 150.0, "y": 14.0},
                {"on": "top", "from_start": 50.0},
                1.5,
            ),
        }
    )
    (vent,) = vents(layout.frame)
    assert vent.bodies == ("host",)
    assert shells(frame_mesh(bodies(layout))) == 1


def test_vents_take_little() -> None:
    """Each vent is a cylinder through one wall: about π/4 d² t, up to twice that where it is oblique."""
    layout = hardtail_layout()
    assert all(vent.hole.diameter == VENT for vent in vents(layout.frame))
    assert {name for vent in vents(layout.frame) for name in vent.bodies} == {
        "bottom_bracket", "seat_tube", "chainstay_left", "chainstay_right",
        "seatstay_left", "seatstay_right",
    }  # fmt: skip


def test_frame_without_shell_or_dropouts() -> None:
    model = make(context({"mast": MAST}))
    assert [p.name for p in model.parts] == ["mast"]
    assert model.volume == pytest.approx(np.pi / 4 * (40**2 - 36**2) * 400, rel=1e-9)
