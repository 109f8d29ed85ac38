"""Metal of features: bosses short of the far wall, stops with their two holes."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.tubes.features.forms import CABLE, END, forms
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
