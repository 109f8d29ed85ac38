"""The section on stiffness of bikes side by side."""

from __future__ import annotations

from dataclasses import replace

from frame3d.bike.exchange import exchange_values
from frame3d.errors import Fault
from frame3d.report.comparing.data import Comparison
from frame3d.report.comparing.stiffness import stiffness
from frame3d.report.texts import texts
from frame3d.stiffness.load_cases import CASES
from frame3d.stiffness.of_bike import Stiffness, stiffness_of
from tests.report.comparing.samples import sizes, sizes_page
from tests.stiffness.test_of_bike import result

SAY = texts()


def with_frames(*frames: Stiffness | None, faults: tuple[Fault, ...] = ()) -> Comparison:
    """Three bikes with stiffnesses of frames; those without one have the faults."""
    made = sizes()
    measured = tuple(
        replace(one, stiffness=frame, no_stiffness=() if frame is not None else faults)
        for one, frame in zip(made.measured, frames, strict=True)
    )
    return replace(made, measured=measured)


def test_frames_beside_the_first() -> None:
    plain = result("hardtail")
    longer = stiffness_of(exchange_values(plain.model.bike, {"build.fork.axle_to_crown": 555}))
    made = stiffness(with_frames(plain, result("adventure"), longer), SAY)
    assert made is not None
    assert made.count('class="ratio-bars"') == len(CASES)
    assert "1 is S drawn" in made
    assert "not told apart" in made  # the other frame
    assert "1.00 same" in made  # the same frame with a longer fork
    assert "Stiffer is not stronger" in made


def test_what_cannot_be_told_is_said() -> None:
    fault = Fault("missing-key", "material.young_gpa", "Own has no Young's modulus", "add it")
    plain = result("hardtail")
    made = stiffness(with_frames(plain, None, plain, faults=(fault,)), SAY)
    assert made is not None
    assert "L: " in made
    assert "Young" in made
    alone = stiffness(with_frames(plain, None, None, faults=(fault,)), SAY)
    assert alone is not None
    assert "ratio-bars" not in alone
    assert stiffness(with_frames(None, None, None), SAY) is None
    page = sizes_page().decode()  # of bikes without stays: two load cases, and why no more
    assert 'href="#stiffness"' in page
    assert "holds together" in page
