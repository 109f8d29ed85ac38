"""Body tables against the published numbers, and lengths from stature and inseam."""

from __future__ import annotations

import pytest

from frame3d.rider import segments as s
from frame3d.rider.segments import BODY_TABLES, TEXTBOOK, YOUNG_MEN, YOUNG_WOMEN, lengths_of


def test_segment_lengths() -> None:
    """Drillis and Contini (1966), as Winter figure 4.1 (from memory): at a stature of 1750 mm."""
    lengths = {
        s.ANKLE_HEIGHT: 68.2,
        s.THIGH: 428.8,
        s.SHANK: 430.5,
        s.TRUNK: 504.0,
        s.UPPER_ARM: 325.5,
        s.FOREARM: 255.5,
        s.HAND: 189.0,
        s.FOOT: 266.0,
        s.HEAD: 227.5,
        s.NECK: 91.0,
    }
    for share, length in lengths.items():
        assert share * 1750 == pytest.approx(length, abs=0.051)


def test_textbook_masses() -> None:
    """Winter (1990), table 3.1 (published; two public copies agree): mass over the body's, centre from
    the nearer joint, radius of gyration about the centre; and, from memory of the same table,
    head-arms-trunk 0.678, a leg 0.161.
    """
    table = {
        "trunk_and_head": (1, 0.578, 0.660, 0.503),
        "upper_arm": (2, 0.028, 0.436, 0.322),
        "forearm_and_hand": (2, 0.022, 0.682, 0.468),
        "thigh": (2, 0.100, 0.433, 0.323),
        "shank": (2, 0.0465, 0.433, 0.302),
        "foot": (2, 0.0145, 0.500, 0.475),
    }
    found = {one.name: one for one in TEXTBOOK.segments}
    assert found.keys() == table.keys()
    for name, (sides, mass, centre, radius) in table.items():
        one = found[name]
        assert (one.sides, one.mass_share, one.centre_share) == (sides, mass, centre)
        assert one.gyration == (radius, radius, 0)
    arms = 2 * (found["upper_arm"].mass_share + found["forearm_and_hand"].mass_share)
    assert found["trunk_and_head"].mass_share + arms == pytest.approx(0.678)
    leg = sum(found[name].mass_share for name in ("thigh", "shank", "foot"))
    assert leg == pytest.approx(0.161)


def test_forearm_and_hand_are_forearm_and_hand() -> None:
    """The same table tells forearm (0.016, 0.430) and hand (0.006) apart: masses add up."""
    both = next(one for one in TEXTBOOK.segments if one.name == "forearm_and_hand")
    assert both.mass_share == pytest.approx(0.016 + 0.006)


@pytest.mark.parametrize(
    ("table", "rows"),
    [
        (
            YOUNG_MEN,
            {
                "head": (0.0694, 0.5976, 0.362, 0.376, 0.312),
                "trunk": (0.4346, 0.4310, 0.384, 0.358, 0.197),
                "upper_arm": (0.0271, 0.5772, 0.285, 0.269, 0.158),
                "forearm": (0.0162, 0.4574, 0.276, 0.265, 0.121),
                "hand": (0.0061, 0.7900, 0.628, 0.513, 0.401),
                "thigh": (0.1416, 0.4095, 0.329, 0.329, 0.149),
                "shank": (0.0433, 0.4395, 0.251, 0.246, 0.102),
                "foot": (0.0137, 0.4415, 0.257, 0.245, 0.124),
            },
        ),
        (
            YOUNG_WOMEN,
            {
                "head": (0.0668, 0.5894, 0.330, 0.359, 0.318),
                "trunk": (0.4257, 0.3782, 0.379, 0.361, 0.182),
                "upper_arm": (0.0255, 0.5754, 0.278, 0.260, 0.148),
                "forearm": (0.0138, 0.4559, 0.261, 0.257, 0.094),
                "hand": (0.0056, 0.7474, 0.531, 0.454, 0.335),
                "thigh": (0.1478, 0.3612, 0.369, 0.364, 0.162),
                "shank": (0.0481, 0.4352, 0.267, 0.263, 0.092),
                "foot": (0.0129, 0.4014, 0.299, 0.279, 0.139),
            },
        ),
    ],
)
def test_masses_of_young_adults(table: s.BodyTable, rows: dict[str, tuple[float, ...]]) -> None:
    """De Leva (1996), J. Biomech. 29, 1223-1230 (published: a copy of its table in course data
    of biomechanics): mass, centre, radii of gyration sagittal, transverse, longitudinal.
    """
    found = {one.name: (one.mass_share, one.centre_share, *one.gyration) for one in table.segments}
    assert found == rows
    assert {one.name for one in table.segments if one.sides == 1} == {"head", "trunk"}


@pytest.mark.parametrize("table", BODY_TABLES.values(), ids=BODY_TABLES.keys())
def test_masses_make_a_whole_body(table: s.BodyTable) -> None:
    """As printed: 1 to four places; women's add up to 0.9999."""
    assert table.total_share == pytest.approx(1, abs=1.001e-4)


def test_a_body_of_the_usual_inseam_is_that_of_its_stature() -> None:
    a, b = lengths_of(1800), lengths_of(1800, 846)
    for name in s.Lengths.__slots__:
        assert getattr(a, name) == pytest.approx(getattr(b, name)), name
    assert a.leg == pytest.approx((0.245 + 0.246) * 1800)
    assert a.arm == pytest.approx((0.186 + 0.146 + 0.054) * 1800)


@pytest.mark.parametrize("inseam", [740, 846, 900])
def test_long_legs_make_a_short_trunk(inseam: float) -> None:
    """Sole to vertex is the stature, whatever the inseam; legs are in proportion to it."""
    body = lengths_of(1800, inseam)
    assert body.ankle_height + body.leg + body.trunk + body.neck + body.head == pytest.approx(1800)
    assert body.leg / inseam == pytest.approx(0.491 / 0.47)
    assert (body.ankle, body.arm) == (lengths_of(1800).ankle, lengths_of(1800).arm)


def test_a_foot_is_as_long_as_it_is() -> None:
    body = lengths_of(1800)
    assert body.heel + body.toe == pytest.approx(0.152 * 1800)
    assert body.heel > body.ankle > body.toe > 0
