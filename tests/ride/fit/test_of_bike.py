"""How demos fit, whole: what is there, what is left out and which key would give it."""

from __future__ import annotations

import pytest

from frame3d.ride.fit.of_bike import Fit, fit_of
from tests.ride.fit.samples import FAMILY, FULL, HARDTAIL, RIGID, bike


def fit(name: str, *sets: str, size: str | None = None) -> Fit:
    found = fit_of(bike(name, *sets, size=size))
    assert found is not None
    return found


def test_the_full_demo() -> None:
    """By plane trigonometry with 65° and a bar 25 mm high: each mm of rise takes sin 65° = 0.9063 of
    spacers and cos 65° = 0.4226 of stem.
    """
    cockpit = fit(FULL).cockpit
    assert cockpit is not None
    exact = {one.exact.rise: (one.exact.stem, one.exact.spacers) for one in cockpit.bars}
    assert exact[0] == pytest.approx((55.565, 37.658), abs=1e-3)
    assert exact[20] == pytest.approx((47.113, 19.532), abs=1e-3)
    assert exact[40] == pytest.approx((38.661, 1.405), abs=1e-3)
    assert exact[50][1] < 0


@pytest.mark.parametrize(
    ("name", "size"), [(HARDTAIL, None), (FULL, None), (RIGID, None), (FAMILY, "S"), (FAMILY, "XL")]
)
def test_every_demo_has_its_fit(name: str, size: str | None) -> None:
    found = fit(name, size=size)
    assert found.cockpit is not None
    assert found.steerer is not None
    assert found.astride
    own = [
        one
        for one in found.cockpit.bars
        if one.exact.rise == found.cockpit.present.rise
        and one.exact.stem_angle == found.cockpit.present.stem_angle
    ]
    (answer,) = own
    assert answer.exact.stem == pytest.approx(found.cockpit.present.stem)
    assert answer.exact.spacers == pytest.approx(found.cockpit.present.spacers)
    assert answer.sold.miss <= 1.25
    assert len(found.cockpit.nearest) <= 10


@pytest.mark.parametrize(
    ("sets", "key"),
    [
        ((), "build.fork.steerer_length"),
        ((), "build.stem.most_spacers"),
        (("build.stem=null",), "build.stem"),
        (("build.crank=null", "build.chainring=null", "build.pedal=null"), "build.crank"),
        (("build.rider.inseam=null",), "build.rider.inseam"),
        (("build.rider.shoe_length=null",), "build.rider.shoe_length"),
        (("build.seatpost.saddle_height=null", "build.rider=null"), "build.seatpost.saddle_height"),
        (("tubes.top_tube=null",), "tubes.top_tube"),
    ],
)
def test_what_is_left_out_names_its_key(sets: tuple[str, ...], key: str) -> None:
    assert any(key in line for line in fit(HARDTAIL, *sets).left_out)


def test_nothing_is_left_out_of_a_full_file() -> None:
    whole = fit(HARDTAIL, "build.fork.steerer_length=190")
    assert [line for line in whole.left_out if "steerer" in line or "spacers" in line] == []
    assert whole.cockpit is not None
    assert whole.cockpit.sizes.most_spacers == pytest.approx(26)


def test_without_a_stem_the_cockpit_is_left_out() -> None:
    found = fit(HARDTAIL, "build.stem=null")
    assert found.cockpit is None
    assert all(one.grip_reach is None for one in found.contacts)
    assert found.contacts[0].saddle_setback is not None


def test_assumed_sizes_are_named_and_given_ones_are_not() -> None:
    assert any("stems of 30" in line for line in fit(HARDTAIL).assumptions)
    given = fit(HARDTAIL, "build.stem.lengths=[35, 50]", "build.handlebar.rises=[20, 40]")
    assert not any("stems of" in line or "mm rise" in line for line in given.assumptions)
    assert any("drop bar" in line for line in fit(RIGID).assumptions)


def test_a_file_of_bare_figures_has_no_fit() -> None:
    assert fit_of(bike("minimal")) is None
