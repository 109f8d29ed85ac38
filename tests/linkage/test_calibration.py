"""A measured pair of pressure and sag: what it makes of an air spring's model."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.linkage.curves.calibration import Calibration, calibration_of
from frame3d.linkage.curves.springs import air_of
from frame3d.parameters.models.springs import AirSpec, MeasuredSpec, NegativeSpec

PAIR = MeasuredSpec(pressure_bar=12.0, sag="30%", rider_mass_kg=75)
MODEL = AirSpec(piston=42, volume_cm3=120, negative=NegativeSpec(volume_cm3=18), measured=PAIR)
STROKE = 15.75


def found(spec: AirSpec, force: float, stroke: float = STROKE) -> Calibration:
    out = calibration_of(spec, force, stroke)
    assert out is not None
    return out


def test_without_a_pair_there_is_nothing_to_correct() -> None:
    assert calibration_of(AirSpec(piston=42, volume_cm3=120), 1000, STROKE) is None


@pytest.mark.parametrize("force", [700.0, 1100.0, 1600.0])
def test_the_pair_comes_out_as_it_went_in(force: float) -> None:
    """The corrected spring asks for the measured pressure under the measured load at the measured sag."""
    factor = found(MODEL, force).factor
    again = air_of(MODEL, force, STROKE, factor)
    assert again.pressure_bar == pytest.approx(12.0, abs=1e-12)
    assert again.at_rest().force(np.array([STROKE]))[0] == pytest.approx(force, rel=1e-12)


def test_a_pressure_that_the_file_sets_does_not_change_the_factor() -> None:
    psi = MODEL.model_copy(update={"pressure_psi": 150.0})
    bar = MODEL.model_copy(update={"pressure_bar": 9.0})
    assert found(MODEL, 1100) == found(psi, 1100) == found(bar, 1100)


def test_what_the_model_alone_would_have_said() -> None:
    alone = air_of(MODEL, 1100, STROKE)
    assert found(MODEL, 1100).modelled_bar == pytest.approx(alone.pressure_bar, rel=1e-12)
    short = MODEL.model_copy(update={"negative": NegativeSpec(volume_cm3=18, pressure_bar=0.0)})
    assert found(short, 1.0, 2.0).modelled_bar is None


@pytest.mark.parametrize(
    "true",
    [
        AirSpec(piston=43.5, volume_cm3=128.6, negative=NegativeSpec(volume_cm3=19.3)),
        AirSpec(piston=42, volume_cm3=120, negative=NegativeSpec(volume_cm3=24)),
        AirSpec(piston=42, volume_cm3=111, negative=NegativeSpec(volume_cm3=18)),
    ],
    ids=["piston", "negative", "positive"],
)
def test_one_pair_makes_it_right_for_riders_of_every_mass(true: AirSpec) -> None:
    """A shock whose piston, negative or positive chamber is not as the file says: with both chambers at one
    pressure, force = area × (p + p0) × (V/(V - A·s) - N/(N + A·s)), so one factor puts every load right.
    """
    load = float(
        air_of(true.model_copy(update={"pressure_bar": 12.0}))
        .at_rest()
        .force(np.array([STROKE]))[0]
    )
    factor = found(MODEL, load).factor
    assert abs(factor - 1) > 0.02
    for share in (0.6, 0.8, 1.3):
        truth = air_of(true, share * load, STROKE).pressure_bar
        assert air_of(MODEL, share * load, STROKE, factor).pressure_bar == pytest.approx(
            truth, rel=1e-9
        )
        assert abs(air_of(MODEL, share * load, STROKE).pressure_bar / truth - 1) > 0.02


def test_the_factor_scales_force_rate_and_energy_of_the_ride() -> None:
    plain = air_of(MODEL.model_copy(update={"pressure_bar": 12.0})).resting_at(STROKE)
    more = air_of(MODEL.model_copy(update={"pressure_bar": 12.0}), factor=1.2).resting_at(STROKE)
    strokes = np.linspace(0, 50, 11)
    for one, other in zip(plain.state(strokes), more.state(strokes), strict=True):
        assert other == pytest.approx(1.2 * one, rel=1e-12)
    assert more.starts == pytest.approx(plain.starts, rel=1e-12)


@pytest.mark.parametrize(
    ("factor", "usual"), [(0.5, False), (0.9, True), (1.3, True), (1.5, False)]
)
def test_how_far_off_is_usual(factor: float, usual: bool) -> None:
    assert Calibration(factor, 12, 11, 80, 15).is_usual is usual


def test_what_cannot_be_compared() -> None:
    with pytest.raises(ValueError, match="does not load"):
        calibration_of(MODEL, 0.0, STROKE)
    strong = MODEL.model_copy(update={"negative": NegativeSpec(volume_cm3=90, pressure_bar=40.0)})
    with pytest.raises(ValueError, match=r"12 bar and 1\.0 mm .* no force"):
        calibration_of(strong, 900.0, 1.0)
