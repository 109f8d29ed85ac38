"""Springs and dampers in words: forces by hand."""

from __future__ import annotations

from typing import Any

import pytest

from frame3d.parameters.models.damper import DamperSpec
from frame3d.parameters.models.springs import SpringSpec
from frame3d.report.own_parts.springs_and_dampers import damper_as_given, spring_of
from frame3d.report.texts import texts
from frame3d.ride.springs.set_up import EndSetUp

SAY = texts()


def end(**more: Any) -> EndSetUp:
    given: dict[str, Any] = {
        "end": "rear", "kind": "table", "full_stroke": 50.0, "full_travel": 130.0, "sag": None,
        "wanted": False, "found": None, "pressure_bar": None, "pressure_psi": None,
        "rate_n_mm": None, "rate_lb_in": None, "highest_pressure_bar": None, "rows": (),
        "reducers": (), "measured": None, "curves": (),
    }  # fmt: skip
    return EndSetUp(**(given | more))


def test_a_table_is_read_at_the_strokes_end() -> None:
    """Between 25 and 55 mm: 1600 + (4200 - 1600) · 25/30 N = 3767 N at 50 mm."""
    table = SpringSpec.model_validate({"table": [[0, 150], [25, 1600], [55, 4200]]})
    assert "with 150 N at first and 3767 N at the end of its stroke" in spring_of(end(), table, SAY)


def test_coil_and_air() -> None:
    coil = SpringSpec.model_validate({"coil": {"rate_lb_in": 450}})
    shown = spring_of(end(kind="coil", rate_n_mm=78.8, rate_lb_in=450), coil, SAY)
    assert shown.startswith(
        "a coil, which pushes back 78.8 N more for every millimetre (450 lb/in)"
    )
    air = SpringSpec.model_validate({"air": {"piston": 42, "volume_cm3": 130}})
    shown = spring_of(end(kind="air", pressure_bar=13.2, pressure_psi=192), air, SAY)
    assert shown.startswith("air at 13.2 bar (192 psi)")


@pytest.mark.parametrize(
    ("damper", "how"),
    [
        ({"rebound_n_s_m": 5000}, "Coming out at 0.1 m/s, it resists with 500 N (rebound)."),
        ({"compression_n_s_m": 1500}, "Pushed in at 0.1 m/s, it resists with 150 N (compression)."),
        # Beyond 0.04 m/s another slope: 5000 · 0.04 + 2500 · 0.06 N; compression keeps its own.
        (
            {
                "rebound_n_s_m": 5000,
                "rebound_fast_n_s_m": 2500,
                "compression_n_s_m": 1500,
                "fast_from": 0.04,
            },
            "with 150 N when it is pushed in (compression) and with 350 N when it comes out",
        ),
        (
            {"filmed_return": {"start": 45, "end": 10, "seconds": 0.14}},
            "Filmed, it came back from 45 mm to 10 mm in 0.14 s.",
        ),
    ],
)
def test_dampers(damper: dict[str, Any], how: str) -> None:
    said = damper_as_given(DamperSpec.model_validate(damper), SAY)
    assert how in said
    assert said.startswith(SAY("own_parts.damper.is"))
