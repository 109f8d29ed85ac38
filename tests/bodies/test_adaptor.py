"""The adaptor between a brake mount and the caliper on a larger rotor."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.exchange import exchange_values
from frame3d.bike.solve import solve
from frame3d.bodies import bodies_of
from frame3d.bodies.body import Body
from frame3d.bodies.parts.adaptor import ADAPTOR, rear_adaptor
from frame3d.bodies.placement import Placement
from frame3d.bodies.shapes import Box
from frame3d.clearance.check import run_checks
from frame3d.clearance.scene import scene_of
from frame3d.clearance.table import kind_of
from frame3d.fabrication.parts.wheel_parts import wheel_parts
from tests.mounted import mounted
from tests.with_mount import POST, with_mount

LARGER: dict[str, float] = {"rotor": 203.0, "mount_rotor": 180.0}


def adaptor(bike: Bike) -> Body:
    (found,) = rear_adaptor(Placement(bike))
    return found


def box(body: Body) -> tuple[Box, np.ndarray]:
    (placed,) = body.shapes
    assert isinstance(placed.shape, Box)
    return placed.shape, np.array(placed.origin)


def test_it_fills_the_step_of_the_rotor_between_faces_and_caliper() -> None:
    """(203 - 180) / 2 thick, 74.2 between the bolts and a face of 14 long, as wide as the faces."""
    bike = solve(with_mount(POST, "plain", **LARGER))
    body = adaptor(bike)
    shape, middle = box(body)
    assert 2 * np.array(shape.half) == pytest.approx([74.2 + 14, 14, 11.5])
    mount = bike.dropouts[0].mount
    assert mount is not None
    faces = np.mean([block.face for block in mount.blocks], axis=0)
    assert middle == pytest.approx(faces + 11.5 / 2 * np.array(mount.blocks[0].way))
    assert kind_of(body) == ADAPTOR
    caliper = bodies_of(bike).body("rear_caliper")
    away = np.array(caliper.shapes[0].origin) - middle
    assert float(away @ np.array(mount.blocks[0].way)) == pytest.approx(11.5 / 2 + 36 / 2)


def test_there_is_none_on_the_mount_s_own_rotor() -> None:
    assert list(rear_adaptor(Placement(solve(with_mount(POST, "plain"))))) == []
    assert list(rear_adaptor(Placement(mounted(rotor=203.0, mount_rotor=180.0)))) == []  # no mount


def test_leaning_bolts_set_it_off_along_the_rotor() -> None:
    """The step is along the radius, 10 degrees off the bolts: so much thinner, and longer."""
    lean = {"brake": {"kind": "post_mount", "lean": 10}}
    shape, _ = box(adaptor(solve(with_mount(lean, "plain", **LARGER))))
    turn = np.radians(10)
    size = [74.2 + 14 + 11.5 * np.sin(turn), 14, 11.5 * np.cos(turn)]
    assert 2 * np.array(shape.half) == pytest.approx(size)


def test_an_exchanged_rotor_gets_it_in_checks_and_parts_list() -> None:
    bike = solve(with_mount(POST, "plain"))
    other = exchange_values(bike, {"build.rear_wheel.rotor": 203.0})
    report = run_checks(scene_of(other), names=frozenset({"caliper_to_frame", "rotor_to_frame"}))
    found = {one.name: one for one in report.results if one.between and ADAPTOR in one.between}
    assert set(found) == {"caliper_to_frame", "rotor_to_frame"}
    gap = found["rotor_to_frame"].gap
    assert gap is not None
    assert 4.4 < gap < 5.5  # 12.5 - 14 / 2 less half of the rotor's thickness, as its blocks
    items = {item.what: item for item in wheel_parts(other)}
    assert items["rear brake adaptor"].size == "from 180 to 203"
    assert "rear brake adaptor" not in {item.what for item in wheel_parts(bike)}


@pytest.mark.parametrize(("kind", "on_stay"), [("post_mount", False), ("flat_mount", True)])
def test_it_is_measured_against_the_stay_below_posts(kind: str, on_stay: bool) -> None:
    """Posts lift it clear of their stay; sleeves of a flat mount end just above theirs."""
    mount = {"kind": kind, "height": 20} if kind == "post_mount" else {"kind": kind}
    on = "seatstay" if kind == "post_mount" else "chainstay"
    body = adaptor(mounted(mount, on, **LARGER))
    assert (f"{on}_left" in body.touches) == on_stay
    assert f"{on}-brake-1_left" in body.touches
