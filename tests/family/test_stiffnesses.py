"""Stiffness of bikes that are named, beside the first."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.errors import FrameError
from frame3d.family.stiffnesses import stiffnesses_of
from frame3d.family.wanted import wanted_of

CONFIGS = Path(__file__).parents[2] / "configs"
FULL, HARD = (str(CONFIGS / f"{name}.yaml") for name in ("trail_full_140", "trail_hardtail_29"))


def test_the_file_itself_is_the_reference_of_a_change() -> None:
    found = stiffnesses_of(wanted_of([HARD], sets=["tubes.top_tube.od=35"], fewest=1))
    assert [member.label for member in found.members] == ["drawn", "tubes.top_tube.od=35"]
    (beside,) = found.comparisons
    assert beside.alike
    assert max(one.value for one in beside.ratios) > 1.08


def test_one_alone_has_nothing_beside_it() -> None:
    found = stiffnesses_of(wanted_of([FULL], fewest=1), travel=70.0)
    assert found.comparisons == ()
    assert found.results[0].model.travel == 70.0
    assert len(found.gains) > 10


def test_faults_of_one_leave_the_others(tmp_path: Path) -> None:
    own = tmp_path / "own.yaml"
    text = (
        Path(HARD)
        .read_text("utf-8")
        .replace("material: 4130", "material: {name: Own, density_g_cm3: 2}")
    )
    own.write_text(text, "utf-8")
    found = stiffnesses_of(wanted_of([HARD, str(own)], fewest=1))
    assert [member.label for member in found.members] == ["trail_hardtail_29"]
    (fault,) = found.faults
    assert fault.message.startswith("own: Own has no Young's modulus")
    with pytest.raises(FrameError, match="Young"):
        stiffnesses_of(wanted_of([str(own)], fewest=1))


def test_travel_beyond_the_wheels() -> None:
    with pytest.raises(FrameError, match="beyond the wheel's travel"):
        stiffnesses_of(wanted_of([FULL], fewest=1), travel=200.0)


def test_a_reference_by_its_label() -> None:
    wanted = wanted_of([HARD], sets=["tubes.top_tube.od=35"], fewest=1)
    plain = stiffnesses_of(wanted)
    found = stiffnesses_of(wanted, reference="tubes.top_tube.od=35")
    assert [member.label for member in found.members] == ["tubes.top_tube.od=35", "drawn"]
    for one, other in zip(found.comparisons[0].ratios, plain.comparisons[0].ratios, strict=True):
        assert one.value == pytest.approx(1 / other.value)
    with pytest.raises(FrameError, match="no bike has this label") as caught:
        stiffnesses_of(wanted, reference="M")
    assert caught.value.faults[0].hint == "one of drawn, tubes.top_tube.od=35"
