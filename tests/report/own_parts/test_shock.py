"""The shock's explanation: size, leverage and sag of this linkage, spring and damper as given."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.report.own_parts.shock import shock
from frame3d.report.texts import texts
from tests.report.own_parts.samples import demo, said

SAY = texts()


def test_a_hardtail_has_none() -> None:
    assert shock(demo("trail_hardtail_29"), SAY) is None


@pytest.mark.parametrize(
    ("name", "size"), [("trail_full_140", (210, 52.5, 140)), ("enduro_170_mixed", (230, 65, 170))]
)
def test_its_figures_are_the_bikes(name: str, size: tuple[float, float, float]) -> None:
    """Size and travel of the file; leverage by a difference of travels, not the model's derivative."""
    data = demo(name)
    linkage, moving = data.bike.linkage, data.travelled
    assert linkage is not None
    assert moving is not None
    assert moving.sag is not None
    words = said(shock(data, SAY))
    assert f"{size[0]:g} mm from eye to eye, it shortens by {size[1]:g} mm" in words
    assert f"the wheel rises by {size[2]:g} mm" in words
    step, stroke = 0.01, linkage.full_stroke
    travel = linkage.at_strokes(np.array([0.0, step, stroke - step, stroke])).travel
    first, last = (travel[1] - travel[0]) / step, (travel[3] - travel[2]) / step
    assert f"At first the wheel moves {first:.2f} mm for each mm of the shock" in words
    assert f"at the end {last:.2f} mm: that is {100 * (1 - last / first):.0f} % less" in words
    assert "firmer the deeper" in words
    sag = f"{0.3 * size[1]:.1f}"
    assert f"{sag} mm of its stroke are used (30 %)" in words


def test_spring_is_that_of_the_set_up() -> None:
    air, coil = demo("trail_full_140"), demo("enduro_170_mixed")
    assert air.ride.springs is not None
    assert coil.ride.springs is not None
    chamber, rate = air.ride.springs.rear, coil.ride.springs.rear
    assert chamber is not None
    assert rate is not None
    assert f"air at {chamber.pressure_bar:.1f} bar ({chamber.pressure_psi} psi)" in said(
        shock(air, SAY)
    )
    assert f"{rate.rate_n_mm:.1f} N more for every millimetre" in said(shock(coil, SAY))


def test_damper_only_where_the_file_has_one() -> None:
    data = demo("enduro_170_mixed")
    suspension = data.bike.spec.suspension
    assert suspension is not None
    has_one = suspension.shock.damper is not None
    assert ("Damper: " in said(shock(data, SAY))) == has_one
    data = demo(
        "trail_full_140",
        "suspension.shock.damper={rebound_n_s_m: 4000, compression_n_s_m: 1200}",
    )
    assert "resists with 120 N when it is pushed in (compression) and with 400 N" in said(
        shock(data, SAY)
    )


def test_shaft_and_coil_are_lighter() -> None:
    assert (air := shock(demo("trail_full_140"), SAY)) is not None
    assert (coil := shock(demo("enduro_170_mixed"), SAY)) is not None
    assert (air.lighter, coil.lighter) == ("Lighter: its shaft.", "Lighter: its coil.")
    assert len(air.lit.areas) == len(coil.lit.areas) == 2
