"""What each part is made of, before the kernel."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from ruamel.yaml import YAML

from frame3d import build
from frame3d.bike.solve import solve
from frame3d.errors import SolidError
from frame3d.parameters.models.frame import FrameSpec
from frame3d.solids import make, occ
from frame3d.solids.bodies import bodies, outsides
from frame3d.solids.body import BREAK_THROUGH
from frame3d.solids.sweep import Sweep
from tests.bike.tension.bikes import OFFSET, RIGID
from tests.bikes import hardtail_layout, placed_layout
from tests.frames import bar, context


def test_a_bore_that_leaves_no_wall() -> None:
    layout = hardtail_layout()
    bores = tuple(
        type(b)(b.tube, b.at, 36.0, b.depth, b.code) if b.tube == "seat_tube" else b
        for b in layout.bores
    )
    with pytest.raises(SolidError, match=r"seat_tube.*leaves no wall") as error:
        bodies(replace(layout, frame=replace(layout.frame, bores=bores)))
    assert error.value.faults[0].code == "solid"


def test_own_material_of_the_frame_goes_to_shell_and_dropouts() -> None:
    data = {
        "format": 1, "name": "Printed", "geometry": {}, "tubes": {},
        "material": {"name": "AlSi10Mg", "density_g_cm3": 2.67},
        "build": {"bottom_bracket": {"shell": "threaded-73"}},
    }  # fmt: skip
    spec = FrameSpec.model_validate(data)
    shell = hardtail_layout().shell
    layout = placed_layout(spec)
    layout = replace(layout, frame=replace(layout.frame, shell=shell))
    (part,) = make(layout).parts
    assert (part.name, part.material, part.density) == ("bottom_bracket", "AlSi10Mg", 2.67)
    assert part.mass == pytest.approx(np.pi / 4 * (40**2 - 33.65**2) * 73 * 2.67e-3, rel=1e-6)


def test_outsides_are_the_bodies_without_their_cuts() -> None:
    plain = {body.name: body for body in outsides(hardtail_layout())}
    for body in bodies(hardtail_layout()):
        assert body.metal == plain[body.name].metal
        assert body.voids == plain[body.name].voids
        assert plain[body.name].cuts == ()
    assert any(body.cuts for body in bodies(hardtail_layout()))


def test_a_tube_is_cut_by_what_was_made_before_it() -> None:
    """In the order in which the parts are made, and never by a part of another rigid body."""
    seen: list[str] = []
    for body in bodies(hardtail_layout()):
        assert {cut.body for cut in body.cuts} <= set(seen)
        seen.append(body.name)


def test_what_cuts_an_end_reaches_past_it_and_its_core_is_slimmer() -> None:
    layout = context(
        {
            "mast": bar(40.0, (0, 0, 0), (0, 0, 100), 2.0),
            "arm": bar(20.0, {"on": "mast", "from_start": 96}, (150, 0, 96), 1.0),
        }
    )
    arm = next(body for body in bodies(layout) if body.name == "arm")
    (cut,) = arm.cuts
    (tool,), (core,) = cut.tool, cut.core
    assert isinstance(tool, Sweep)
    assert isinstance(core, Sweep)
    assert tool.axis.end[2] > 100 + 20  # beyond the end over which the arm hangs
    assert tool.axis.start[2] == 0.0  # and not at the other
    middle = core.axis.length / 4
    assert np.interp(middle, core.s, core.height) == pytest.approx(40 - 2)  # half a wall all round


def test_bores_for_cups_are_steps_of_a_round_tubes_bore() -> None:
    layout = hardtail_layout()
    head = next(body for body in bodies(layout) if body.name == "head_tube")
    (void,) = head.voids
    bores = {bore.at: bore for bore in layout.bores if bore.tube == "head_tube"}
    for at, s in (("start", 5.0), ("end", void.axis.length - 5.0)):
        assert np.interp(s, void.s, void.height) == pytest.approx(bores[at].diameter)
    # Beyond both cups it is the tube's own: outside less twice the wall.
    tube = layout.tube("head_tube")
    middle = tube.axis.length / 2
    own = tube.section.height_at(np.array([middle])) - 2 * np.interp(
        middle, tube.section.s, tube.section.wall
    )
    assert np.interp(middle + BREAK_THROUGH, void.s, void.height) == pytest.approx(
        float(own[0]), abs=0.05
    )


def test_tubes_meet_an_eccentric_shell_where_it_is() -> None:
    """As OCCT solids: tubes touch the shell, share nothing with it, and weigh what masses say."""
    data = YAML(typ="safe", pure=True).load(RIGID.read_text())
    data["tubes"] = {key: data["tubes"][key] for key in ("head_tube", "seat_tube", "down_tube")}
    insert = {"offset": OFFSET, "angle": -150}
    data["build"]["bottom_bracket"] = {"shell": "eccentric-68", "eccentric": insert}
    bike = solve(FrameSpec.model_validate(data))
    made = {part.name: part for part in build(bike).parts}
    shell = made["bottom_bracket"].shape
    x, z = OFFSET * math.sqrt(3) / 2, OFFSET / 2
    assert occ.bulk(shell).centre == pytest.approx((x, 0.0, z), abs=0.05)  # but for its vents
    for name in ("seat_tube", "down_tube"):
        tube = made[name].shape
        assert occ.bulk(occ.common(tube, shell)).volume == pytest.approx(0.0, abs=1e-3)
        assert BRepExtrema_DistShapeShape(tube, shell).Value() == pytest.approx(0.0, abs=1e-6)
        grams = made[name].volume * 7.85e-3
        assert bike.frame.masses.parts[name] == pytest.approx(grams, rel=1.5e-3)
