"""Options against the bike: kits that the file gives, scale from a length, what leaves nothing."""

from __future__ import annotations

import math

import pytest

from frame3d.errors import MockupError
from frame3d.mockup.options import KITS
from frame3d.mockup.read_options import read_options
from tests.mockup.samples import CONFIGS, RIGID, layout


def test_all_faults_at_once() -> None:
    with pytest.raises(MockupError) as caught:
        read_options(layout(CONFIGS / "minimal.yaml"), scale="x", length=300.0, bed="y", kits="z")
    assert [f.code for f in caught.value.faults] == [
        "inconsistent", "not-allowed", "not-allowed", "not-allowed", "missing-key",
    ]  # fmt: skip


def test_what_the_file_gives_goes_with_the_frame() -> None:
    assert read_options(layout(), bed="220x220x250").kits == KITS
    without = layout(RIGID, "build.handlebar=null", "build.crank=null")
    found = read_options(without, bed="220x220x250")
    assert found.kits == ("wheels", "fork", "saddle")
    assert found.notes == (
        "no cranks: the file does not give build.crank.q_factor",
        "no cockpit: the file does not give build.handlebar.width",
    )
    with pytest.raises(MockupError) as caught:
        read_options(without, bed="220x220x250", kits="fork,cockpit,cranks")
    assert [f.path for f in caught.value.faults] == [
        "build.crank.q_factor",
        "build.handlebar.width",
    ]


def test_a_length_makes_the_scale() -> None:
    """Overall length over the chart's: wheelbase and both radii."""
    chart = layout().chart
    whole = chart["wheelbase"] + chart["front_wheel_radius"] + chart["rear_wheel_radius"]
    options = read_options(layout(), bed="220x220x250", length=300.0)
    assert options.scale == pytest.approx(300.0 / whole, rel=1e-5)
    assert options.ratio == f"1:{whole / 300:.4g}"
    with pytest.raises(MockupError, match="can be from") as caught:
        read_options(layout(), bed="220x220x250", length=5000.0)
    assert f"{whole:.0f} mm" in caught.value.faults[0].hint
    for length in (0.0, -5.0, 30.0, math.nan):
        # The thickest tube, 62 mm, must not come out thinner than a rod of 2 mm.
        with pytest.raises(MockupError, match="makes a scale of") as caught:
            read_options(layout(), bed="220x220x250", length=length)
        assert f"from {whole / 31:.0f} to {whole:.0f} mm" in caught.value.faults[0].hint


def test_a_scale_that_leaves_nothing() -> None:
    """The thickest tube, 62 mm, must print without growing: 2 mm at 1:31."""
    assert read_options(layout(), bed="220x220x250", scale="1:31").scale == pytest.approx(1 / 31)
    with pytest.raises(MockupError, match="leaves nothing printable") as caught:
        read_options(layout(), bed="220x220x250", scale="1:32")
    assert caught.value.faults[0].hint == "1:31 or larger"
