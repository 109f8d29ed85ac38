"""The fork's explanation: travel, sag, size, and spring and damper where the file gives them."""

from __future__ import annotations

import pytest

from frame3d.report.own_parts.fork import fork
from frame3d.report.texts import texts
from tests.report.own_parts.samples import demo, said
from tests.report.samples import bare, minimal_bike

SAY = texts()


@pytest.mark.parametrize("name", ["trail_hardtail_29", "trail_full_140", "enduro_170_mixed"])
def test_travel_and_sag_are_the_files(name: str) -> None:
    data = demo(name)
    spec = data.bike.spec.build.fork
    assert spec is not None
    words = said(fork(data, SAY))
    assert f"rise by {spec.travel:g} mm along its legs" in words
    sag = f"{spec.travel * spec.sag:.1f}".removesuffix(".0")
    assert f"{sag} mm of that are used ({100 * spec.sag:.0f} %)" in words


def test_its_size_is_the_charts() -> None:
    data = demo("trail_hardtail_29")
    chart = data.bike.chart
    words = said(fork(data, SAY))
    assert f"It is {chart['fork_axle_to_crown']:.1f} mm long along the steering axis" in words
    assert f"the axle {chart['fork_offset']:.1f} mm ahead of that (offset)" in words
    assert f"angle of {chart['head_tube_angle']:.1f}° that makes {chart['trail']:.1f} mm" in words


def test_rigid_where_the_file_says_so() -> None:
    part = fork(demo("adventure_rigid"), SAY)
    assert "This one is rigid" in said(part)
    assert "rise by" not in said(part)
    unknown = fork(bare(minimal_bike()), SAY)
    assert "rigid" not in said(unknown)
    assert "rise by" not in said(unknown)
    assert unknown.lit.areas == ()
    assert unknown.lighter is None


def test_spring_and_damper() -> None:
    data = demo(
        "trail_hardtail_29",
        "build.fork.spring={coil: {rate_n_mm: 8.5}}",
        "build.fork.damper={rebound_n_s_m: 900}",
    )
    words = said(fork(data, SAY))
    assert "Spring: a coil, which pushes back 8.5 N more for every millimetre (49 lb/in)." in words
    assert "Coming out at 0.1 m/s, it resists with 90 N (rebound)." in words


def test_what_rises_with_the_wheel_is_lighter() -> None:
    data = demo("trail_full_140")
    part = fork(data, SAY)
    lower = [o for o in data.side.outlines if o.name.startswith("fork_lower")]
    assert part.lighter == SAY("own_parts.fork.lighter")
    assert any(solid is lower[0].pieces[0] for solid in part.lit.areas[1])
    assert not any(solid is lower[0].pieces[0] for solid in part.lit.areas[0])
