"""Chainrings, cogs and chain: circles and tangents by hand, and where they stand."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.parts.drivetrain import tangent, tip_radius
from frame3d.parameters.sizes.chains import pitch_radius
from tests.bodies.bike import bodies, body, layout
from tests.bodies.distance import signed

COGS = [10, 12, 14, 16, 18, 21, 24, 28, 32, 38, 44, 50]


def test_the_ring_on_the_chainline_on_the_drive_side() -> None:
    ring = body("chainring").shapes[0]
    corners = np.array(ring.shape.profile)
    assert ring.origin == (0.0, 0.0, 0.0)
    assert (corners[:, 1].min() + corners[:, 1].max()) / 2 == pytest.approx(-52)
    assert np.ptp(corners[:, 1]) == pytest.approx(4)
    assert corners[:, 0].max() == pytest.approx(137.69 / 2, abs=5e-3)  # reference row of 32 teeth


def test_two_rings_stand_about_the_chainline() -> None:
    change = ("{teeth: 32, guard: 150}", "{teeth: 36, inner_teeth: 22, spacing: 8}")
    outer, inner = body("chainring", change), body("chainring_inner", change)
    middles = [
        np.mean(np.unique(np.array(b.shapes[0].shape.profile)[:, 1].round(9)))
        for b in (outer, inner)
    ]
    assert middles == pytest.approx([-56, -48])
    names = {b.name for b in bodies(change).bodies}
    assert {"chain_upper_36_10", "chain_lower_22_50", "chain_round_22"} <= names


def test_an_oval_ring_counts_by_its_largest_radius() -> None:
    """12 % oval: largest over smallest 1.12, their mean as a round ring's, so largest 2.24/2.12."""
    change = ("{teeth: 32, guard: 150}", "{teeth: 32, ovality: 12%}")
    oval = max(r for r, _ in body("chainring", change).shapes[0].shape.profile)
    assert oval == pytest.approx(tip_radius(32) + pitch_radius(32) * (2.24 / 2.12 - 1))


def test_the_guard_lies_outside_the_ring() -> None:
    corners = np.array(body("chainring_guard").shapes[0].shape.profile)
    assert corners[:, 0].max() == 75
    assert corners[:, 1].max() == pytest.approx(-52 - 2)


def test_cogs_stand_in_from_the_dropout() -> None:
    """Smallest cog 6 mm from the 148 mm hub's shoulder: y = -64.5; eleven steps of 3.65 on: -24.35."""
    cassette = body("cassette")
    middles = [np.mean([y for _, y in s.shape.profile]) for s in cassette.shapes]
    radii = [max(r for r, _ in s.shape.profile) for s in cassette.shapes]
    assert middles == pytest.approx([-64.5 + 3.65 * i for i in range(12)])
    assert radii[0] == pytest.approx(49.22 / 2, abs=5e-3)  # reference row of 10 teeth
    assert all(s.origin == layout().nodes["rear_axle"] for s in cassette.shapes)


@pytest.mark.parametrize(
    ("hub", "y"),
    # 6 mm from the shoulder (common practice, no source); the shoulder of 142 is that of 135, and so
    # on, 3.5 mm a side (trade pages).
    [("135x10", 61.5), ("142x12", 61.5), ("148x12", 64.5), ("157x12", 69.0)],
)
def test_cogs_follow_the_hubs_shoulder(hub: str, y: float) -> None:
    first = body("cassette", ("hub: 148x12, rotor: 160", f"hub: {hub}, rotor: 160")).shapes[0]
    assert np.mean([y for _, y in first.shape.profile]) == pytest.approx(-y)


@pytest.mark.parametrize(
    ("cassette", "y"),
    # One gear runs straight (common practice, no source), unless the file says where its cog is.
    [("{cogs: [18]}", 52.0), ("{cogs: [18], inset: 20}", 54.0)],
)
def test_a_single_cog_is_in_line_with_the_ring(cassette: str, y: float) -> None:
    (cog,) = body("cassette", (f"cassette: {{cogs: {COGS}}}", f"cassette: {cassette}")).shapes
    assert np.mean([y for _, y in cog.shape.profile]) == pytest.approx(-y)


def test_the_chains_tangent() -> None:
    """Worked by hand (single pivot of the check values): 32 to 22 teeth, axle 435 behind and 30 above
    the bottom bracket: ends (436.464, 404.768) and (1.008, 414.608) from the rear contact.
    """
    a, b = tangent(
        (435.0, -52.0, 340.0), pitch_radius(32), (0.0, -44.0, 370.0), pitch_radius(22), 1.0
    )
    assert a == pytest.approx((436.46356, -52.0, 404.76805), abs=2e-5)
    assert b == pytest.approx((1.00800, -44.0, 414.60799), abs=2e-5)


@pytest.mark.parametrize("run", ["upper", "lower"])
@pytest.mark.parametrize("cog", [10, 24, 50])
def test_runs_touch_both_wheels(run: str, cog: int) -> None:
    """The run's middle line is tangent to both pitch circles, at each one's own y."""
    chain = body(f"chain_{run}_32_{cog}").shapes[0]
    half = chain.shape.half[0]
    along = np.array(chain.axes[0])
    ends = [np.array(chain.origin) + s * half * along for s in (-1, 1)]
    axle = np.array(layout().nodes["rear_axle"])
    expected = ((np.zeros(3), pitch_radius(32), -52.0), (axle, pitch_radius(cog), None))
    for end, (centre, radius, y) in zip(ends, expected, strict=True):
        arm = (end - centre)[[0, 2]]
        assert np.hypot(*arm) == pytest.approx(radius, abs=1e-9)
        assert arm @ along[[0, 2]] == pytest.approx(0, abs=1e-9)
        assert (arm[1] > 0) == (run == "upper")
        assert end[1] == pytest.approx(-64.5 + 3.65 * COGS.index(cog) if y is None else y)
    # Two plates of 8.6 mm, 5.25 mm over the pins: half of each from the middle line.
    side = np.array(chain.origin) + 5.25 / 2 * np.array(chain.axes[1])
    top = np.array(chain.origin) + 4.3 * np.array(chain.axes[2])
    assert signed(chain, np.array([side, top])) == pytest.approx([0, 0], abs=1e-9)


def test_one_gear_is_drawn_and_it_is_the_straightest() -> None:
    drawn = [b.name for b in bodies().bodies if b.name.startswith("chain_") and b.drawn]
    ys = {t: -64.5 + 3.65 * i for i, t in enumerate((10, 12, 14, 16, 18, 21, 24))}
    straightest = min(ys, key=lambda t: abs(ys[t] + 52))
    assert drawn == [f"chain_upper_32_{straightest}", f"chain_lower_32_{straightest}"]


@pytest.mark.parametrize(
    ("cogs", "width"), [("[16]", 9.0), ("[11, 13, 15, 17, 19, 21, 24, 28]", 7.1)]
)
def test_chain_width_by_the_number_of_cogs(cogs: str, width: float) -> None:
    change = (str(COGS), cogs)
    chain = next(b for b in bodies(change).bodies if b.name.startswith("chain_upper"))
    assert 2 * chain.shapes[0].shape.half[1] == pytest.approx(width)


@pytest.mark.parametrize(
    ("change", "needs"),
    [
        (("  chainring: {teeth: 32, guard: 150}\n", ""), "build.chainring"),
        ((", chainline: 52", ""), "build.crank.chainline"),
        ((f"  cassette: {{cogs: {COGS}}}\n", ""), "build.cassette"),
    ],
)  # fmt: skip
def test_no_chain_without_both_its_wheels(change: tuple[str, str], needs: str) -> None:
    absent = {a.name: a.needs for a in bodies(change).absent}
    assert absent["chain"] == needs
