"""Metal of features: bosses short of the far wall, stops with their two holes."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.tubes.features.forms import BELOW, CABLE, END, forms
from tests.featured import of, one_tube


def test_a_boss_goes_in_by_its_depth_but_not_to_the_far_wall() -> None:
    wide = one_tube({"kind": "boss", "from_start": 200, "count": 1})
    (boss,) = forms(of(wide, "it"), wide.tube("beam"))
    assert boss.length == pytest.approx(12 + 1.5)
    assert boss.set_in
    narrow = one_tube({"kind": "boss", "from_start": 200, "count": 1}, od=14.0)
    (boss,) = forms(of(narrow, "it"), narrow.tube("beam"))
    assert boss.length - 1.5 < 13.0
    bar = one_tube(
        {"kind": "boss", "from_start": 200, "count": 1, "depth": 30}, od=14.0, wall="solid"
    )
    (boss,) = forms(of(bar, "it"), bar.tube("beam"))
    assert boss.length - 1.5 < 14.0


def test_an_outer_cable_goes_into_a_stop_from_the_end_asked_for() -> None:
    for toward, sign in (("start", 1), ("end", -1)):
        bike = one_tube({"kind": "stop", "from_start": 200, "toward": toward})
        (stop,) = forms(of(bike, "it"), bike.tube("beam"))
        blind, through = stop.bores
        assert through.diameter == CABLE
        assert not blind.through
        assert sign * (stop.end - stop.start)[0] == pytest.approx(14)
        assert np.linalg.norm(stop.end - blind.end) == pytest.approx(END)


def test_a_flat_mount_s_sleeves_go_through_both_walls_34_mm_apart() -> None:
    """Spacing and M5: values from memory of the published flat mount drawing; clear hole of 5.5: value
    from memory of ISO 273.
    """
    mount = {"kind": "flat_mount", "from_start": 200}
    bike = one_tube(mount, od=18.0)
    one, two = forms(of(bike, "it"), bike.tube("beam"))
    assert float(np.linalg.norm(one.end - two.end)) == pytest.approx(34.0)
    assert one.bores[0].diameter == 5.5
    assert one.bores[0].through
    assert one.diameter == 12.0
    assert (one.end[2] - 100.0, one.start[2] - 100.0) == pytest.approx((9 + 2, -9 - BELOW))
    assert one.set_in


def test_the_faces_of_a_flat_mount_lie_in_one_plane_on_a_taper() -> None:
    mount = {"kind": "flat_mount", "from_start": 200, "angle": 180}
    bike = one_tube(mount, od={"start": 24, "end": 16})
    one, two = forms(of(bike, "it"), bike.tube("beam"))
    assert one.end[2] == pytest.approx(two.end[2], abs=1e-9)
    assert one.start[2] != pytest.approx(two.start[2], abs=0.1)
