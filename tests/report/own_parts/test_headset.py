"""The headset's explanation: only what the file says, in the sizes of the SHIS code."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.parameters.sizes import standards
from frame3d.report.own_parts.headset import headset
from frame3d.report.own_parts.picture import silhouette
from frame3d.report.texts import texts
from tests.report.own_parts.samples import demo, said
from tests.report.samples import bare, minimal_bike

SAY = texts()
HARDTAIL = "trail_hardtail_29"


def test_codes_in_words() -> None:
    """ZS44/28.6: zero stack, bore 44, steerer 28.6; ZS56/40: crown seat 40 (SHIS, an open code)."""
    words = said(headset(demo(HARDTAIL), SAY))
    assert "head tube, which is 115.0 mm long." in words
    assert (
        "The upper one (ZS44/28.6) sits in a cup inside a bore of 44 mm, for a steerer of" in words
    )
    assert (
        "steerer of 28.6 mm; the lower one (ZS56/40) sits in a cup inside a bore of 56 mm" in words
    )
    assert "for a fork with a seat of 40 mm." in words
    assert "It takes 4 mm under the head tube, by which it lifts the front." in words
    assert len(headset(demo(HARDTAIL), SAY).sentences) == 3


@pytest.mark.parametrize(
    ("code", "how"),
    [
        (
            "EC44/28.6",
            "(EC44/28.6) sits in a cup outside the tube, pressed into a bore of 44 mm, for",
        ),
        ("IS42/28.6", "(IS42/28.6) sits straight in the tube, in a seat of 42 mm, for"),
        ("ZS44", "The upper one (ZS44) sits in a cup inside a bore of 44 mm; the lower one"),
        ("{bore: 44.5, depth: 15}", "The upper one sits in a bore of 44.5 mm; the lower one"),
    ],
)
def test_other_kinds(code: str, how: str) -> None:
    sets = (f"build.headset.upper={code}", "tubes.head_tube.wall=4.8")
    assert how in said(headset(demo(HARDTAIL, *sets), SAY))


@pytest.mark.parametrize(("angle", "how"), [(-1.5, "slacken"), (1.0, "steepen")])
def test_angled_cups(angle: float, how: str) -> None:
    words = said(headset(demo(HARDTAIL, f"build.headset.angle={angle}"), SAY))
    assert f"its cups {how} the steering axis by {abs(angle):g}° against the head tube" in words


def test_a_stop() -> None:
    words = said(headset(demo("adventure_rigid"), SAY))
    assert "it stops the bar when that is turned by 80°." in words


def test_without_codes_it_says_less_and_shows_where_its_ends_are() -> None:
    data = bare(minimal_bike())
    part = headset(data, SAY)
    assert len(part.sentences) == 1
    assert part.lit.areas == ()
    assert part.lit.dots == (data.side.at("head_tube_top"), data.side.at("head_tube_bottom"))


def test_picture_is_its_bores_and_stacks_to_scale() -> None:
    """Two blocks as wide as the bores, from their depth in the head tube to where the stack ends."""
    data = demo(HARDTAIL)
    part = headset(data, SAY)
    (area,) = part.lit.areas
    upper, lower = (standards.cup(code) for code in ("ZS44/28.6", "ZS56/40"))
    spec = data.bike.spec.build.headset
    assert spec is not None
    for solid, cup, out in zip(area, (upper, lower), (spec.upper_stack, 4.0), strict=True):
        corners = solid[0]
        assert math.dist(corners[0], corners[3]) == pytest.approx(cup.bore)
        assert math.dist(corners[0], corners[1]) == pytest.approx(cup.depth + out)
    top, bottom = (np.array(data.side.at(f"head_tube_{end}")) for end in ("top", "bottom"))
    outline = np.concatenate(silhouette(area))
    along = (outline - top) @ (bottom - top) / 115.0
    assert along.min() == pytest.approx(-spec.upper_stack, abs=0.1)
    assert along.max() == pytest.approx(115.0 + 4.0, abs=0.1)
