"""The steps of the bench order: everything that is to be drilled, joined and reamed, in its order."""

from __future__ import annotations

import pytest

from frame3d.bike.solve import solve
from frame3d.fabrication.bench.joints import joints_of
from frame3d.fabrication.bench.steps import Step, families_of, steps_of
from frame3d.fabrication.pack import Maker
from frame3d.parameters.reading.reader import loads
from frame3d.parameters.sizes.materials import FAMILIES, MATERIALS
from frame3d.tubes.cuts.vents import vents
from tests.fabrication.samples import SMALL, facts_of_all


def steps(text: str) -> list[Step]:
    bike = solve(loads(text, "small.yaml"))
    return steps_of(bike, Maker(bike, "A4", None).facts, joints_of(bike))


def test_every_material_has_a_family() -> None:
    assert set(FAMILIES) == set(MATERIALS)


def test_every_joint_is_tacked_before_any_is_joined() -> None:
    found = steps(SMALL + "bench: {process: tig}\n")
    tacked = [i for i, s in enumerate(found) if s.what.startswith("tack-weld ")]
    welded = [i for i, s in enumerate(found) if s.what.startswith("weld ")]
    assert len(tacked) == len(welded) == 8
    assert max(tacked) < min(welded)
    assert any(s.phase.endswith("check") for s in found[max(tacked) : min(welded)])


def test_vents_come_before_heat_and_all_of_them() -> None:
    bike, facts = facts_of_all("trail_hardtail_29")
    found = steps_of(bike, facts, joints_of(bike))
    drilled = [s for s in found if s.phase == "Vents"]
    count = sum(int(s.size.partition(" × ")[0]) if "×" in s.size else 1 for s in drilled)
    assert count == len(vents(bike.frame))
    phases = list(dict.fromkeys(s.phase for s in found))
    assert phases.index("Vents") < phases.index("Before heat") < phases.index("Frame: tack")


def test_bores_are_those_of_the_frame() -> None:
    """ZS56 and ZS44: finished bores of SHIS codes, from memory of its tables (`sizes/headsets.py`)."""
    found = {s.what: s.size for s in steps(SMALL)}
    assert found["ream and face the head tube's bottom"].startswith("55.95 to 56.00, 20 deep")
    assert found["ream and face the head tube's top"].startswith("43.95 to 44.00, 20 deep")
    assert "1.370 in × 24 tpi" in found["chase the threads of the shell"]
    assert found["face the shell square on both sides"] == "73 wide"
    text = SMALL.replace(
        "{shell: threaded-73}", "{shell: pressfit-41-92}\n  seatpost: {diameter: 32.5}"
    )
    found = {s.what: s.size for s in steps(text)}
    assert found["ream the shell, once cold"] == "41"
    assert not any(what.startswith("the insert") for what in found)
    insert = "{shell: eccentric-73, eccentric: {offset: 6, angle: -90}}"
    other = {s.what: s.size for s in steps(SMALL.replace("{shell: threaded-73}", insert))}
    assert other["ream the shell, once cold"] == "54"
    assert other["the insert goes in by hand and turns all the way"] == "54"
    assert found["ream the seat tube for its post; deburr the slot"].startswith("32.5, ")


def test_an_axles_thread_is_tapped() -> None:
    bike, facts = facts_of_all("trail_hardtail_29")
    assert not [s for s in steps_of(bike, facts, joints_of(bike)) if "tap the dropout" in s.what]


@pytest.mark.parametrize(
    ("material", "word"),
    [("4130", "quench"), ("stainless", "gas"), ("titanium", "gas"), ("6061-T6", "solution-treated")],
)  # fmt: skip
def test_a_material_has_its_own_words(material: str, word: str) -> None:
    found = steps(f"{SMALL}material: {material}\n")
    said = " ".join(s.what for s in found if s.phase in ("Before heat", "Cooling"))
    assert word in said


def test_own_materials_are_asked_of_their_maker() -> None:
    text = SMALL + "material: {name: AlSi10Mg, density_g_cm3: 2.67}\n"
    assert families_of(solve(loads(text))) == ["AlSi10Mg"]
    assert any("AlSi10Mg: ask its maker" in s.what for s in steps(text))


def test_glue_knows_no_heat() -> None:
    said = " ".join(f"{s.phase} {s.what}" for s in steps(SMALL + "bench: {process: bonded}\n"))
    assert "glue" in said
    assert "heat" not in said
    assert "cool" not in said.lower()
