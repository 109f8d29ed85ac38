"""Tubes in one place, and masses without solids."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.bike.solve import solve
from frame3d.errors import SolidError
from frame3d.formats.stl import hold
from frame3d.parameters.reading.reader import load
from frame3d.solids import make
from frame3d.solids.body_meshes import frame_mesh
from frame3d.solids.mesh import TOLERANCE
from frame3d.tubes.mass import masses_of
from tests.hardening.running import CASES, SMALL, is_fault, run


@pytest.mark.parametrize("verb", ["solve", "check", "build", "fabricate", "mockup", "report"])
@pytest.mark.parametrize("case", ["coincident_tubes", "sleeve_overlap"])
def test_tubes_in_one_place_are_a_fault_that_names_both(
    verb: str, case: str, tmp_path: Path
) -> None:
    """A copy of a tube whose ends were not changed yet, as wide as it or a sleeve of common metal."""
    file, out = CASES / f"{case}.yaml", tmp_path / "out"
    ended = run(verb, file, *([] if verb in ("solve", "check") else ["-o", out]))
    assert f"{file}:31:3: tubes.brace: down_tube and brace lie in one another" in ended.err
    if verb == "fabricate":  # it makes the sheets of the other tubes
        assert ended.status == 1
        assert (out / "templates" / "down_tube.svg").exists()
        assert not (out / "templates" / "brace.svg").exists()
    else:
        assert is_fault(ended, file), ended
        assert not out.exists() or list(out.iterdir()) == []


def test_the_whole_is_held_to_its_parts_at_every_build() -> None:
    """What no rule about tubes sees is seen when the frame's surface is not as large as its parts'."""
    model = make(solve(load(SMALL)))
    (name, mesh), *others = model.meshes.items()
    whole = frame_mesh(model.bodies, TOLERANCE)
    hold(model, whole, model.meshes)
    with pytest.raises(SolidError) as caught:
        hold(model, whole, {**model.meshes, others[0][0]: mesh})
    assert f"{name} and {others[0][0]} lie in one another" in caught.value.faults[0].message


def test_mass_without_solids_is_that_of_the_solids() -> None:
    """Within 0.2 % for each part and the whole: tapered, butted, bent tubes that meet at 70 degrees."""
    bike = solve(load(CASES / "mass_of_bent_tube.yaml"))
    quick, model = masses_of(bike.frame), make(bike)
    assert sum(quick.parts.values()) == pytest.approx(model.mass, rel=0.002)
    for part in model.parts:
        assert quick.parts[part.name] == pytest.approx(part.mass, rel=0.002)


def test_tube_wider_than_its_target() -> None:
    """Its metal goes past its axis' end, into the target's: weighed there too (seeded case 18)."""
    bike = solve(load(CASES / "wider_than_its_target.yaml"))
    strut = next(tube for tube in bike.tubes if tube.name == "strut")
    assert strut.end.long_point < -20.0
    quick, model = masses_of(bike.frame), make(bike)
    for part in model.parts:
        assert quick.parts[part.name] == pytest.approx(part.mass, rel=0.002)


def test_tube_across_the_bike_beside_its_middle() -> None:
    """It has no side toward the centre plane to be vented from; a vent below does (seeded case 1056)."""
    tube = "{start: {at: [-200, 20, 300]}, end: {at: [-200, 60, 300]}, od: 20, wall: 1}"
    bike = solve(load(SMALL, sets=(f"tubes.across={tube}",)))
    assert masses_of(bike.frame).parts["across"] == pytest.approx(
        7.85e-3 * 3.141592653589793 * 19 * 40, rel=0.02
    )


def test_tube_that_the_kernel_leaves_uncut_at_one_size() -> None:
    """The chainstays at the shell: uncut at just its diameter, whatever the slack; cut beside it."""
    bike = solve(load(CASES / "tube_left_uncut.yaml"))
    quick, made = masses_of(bike.frame), {part.name: part for part in make(bike).parts}
    for tube in bike.tubes:
        assert made[tube.name].mass == pytest.approx(quick.parts[tube.name], rel=0.002)
