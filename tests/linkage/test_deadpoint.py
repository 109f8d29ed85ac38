"""Where a linkage goes no further, and the points that are named."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.linkage.deadpoint import NEARLY, in_line
from frame3d.linkage.mechanism import make
from frame3d.linkage.structure import structure_of
from tests.linkage.bikes import spec_of
from tests.linkage.test_solve import fault


def test_links_that_lock_inside_the_stroke() -> None:
    """Crank 40, coupler 60, rocker 50 on a ground of 100: with coupler and rocker stretched in line the
    crank is at acos(-0.0625), by the law of cosines; what the shock has shortened until then is known.
    """
    a, o4, fix = 40 * np.exp(1j * np.radians(60)), 100 + 0j, -90 - 20j
    away = o4 - a
    along = (60**2 - 50**2 + abs(away) ** 2) / (2 * abs(away))
    b = a + (along + 1j * np.sqrt(60**2 - along**2)) * away / abs(away)
    section = f"""
points:
  o2: [0, 0]
  a: [{a.real}, {a.imag}]
  b: [{b.real}, {b.imag}]
  o4: [100, 0]
  fix: [-90, -20]
links:
  frame: [o2, o4, fix]
  lever: [o2, a]
  coupler: [a, b]
  rocker: [o4, b]
axle: {{on: lever}}
shock: {{start: fix, end: a, eye_to_eye: {abs(a - fix)}, stroke: 40}}
"""
    found = fault(section, (60.0, 0.0))
    assert (found.code, found.path) == ("mechanism", "suspension.links")
    stroke = abs(a - fix) - abs(40 * np.exp(1j * np.arccos(-0.0625)) - fix)
    assert f"at stroke {stroke:.2f} mm of 40" in found.message
    said = found.message.replace("rocker, coupler", "coupler, rocker").replace(
        "o4, b and a", "a, b and o4"
    )
    assert "coupler, rocker lock: a, b and o4 stand in line" in said


def test_links_that_may_flip_over_inside_the_stroke() -> None:
    """A parallelogram whose crank comes down onto the ground line, where it could go on crossed: from
    50° to 0°, the shock 150 mm long there.
    """
    a = 60 * np.exp(1j * np.radians(50))
    length = abs(a - 60 + 150j)
    section = f"""
points:
  o2: [0, 0]
  a: [{a.real}, {a.imag}]
  b: [{a.real + 100}, {a.imag}]
  o4: [100, 0]
  fix: [60, -150]
links:
  frame: [o2, o4, fix]
  lever: [o2, a]
  coupler: [a, b]
  rocker: [o4, b]
axle: {{on: lever}}
shock: {{start: fix, end: a, eye_to_eye: {length}, stroke: 60}}
"""
    found = fault(section, (-60.0, 0.0))
    assert (found.code, found.path) == ("mechanism", "suspension.links")
    assert f"at stroke {length - 150:.2f} mm of 60" in found.message
    assert "may flip over" in found.message


def test_a_shock_in_line_with_its_lever() -> None:
    """A lever of 100 mm and a fixed end 260 mm from the pivot: no nearer than 160 mm, by hand."""
    lever = 100 * np.exp(1j * np.radians(35))
    section = f"""
points:
  pivot: [0, 0]
  end: [{lever.real}, {lever.imag}]
  fix: [260, 0]
links:
  frame: [pivot, fix]
  arm: [pivot, end]
axle: {{on: arm}}
shock: {{start: fix, end: end, eye_to_eye: {abs(lever - 260)}, stroke: 60}}
"""
    found = fault(section, (-400.0, 0.0))
    assert (found.code, found.path) == ("shock", "suspension.shock")
    stroke = abs(lever - 260) - 160
    assert f"at stroke {stroke:.2f} mm of 60 the linkage locks" in found.message
    assert "no nearer to each other than 160.00 mm" in found.message
    said = found.message.replace("fix, end and pivot", "pivot, end and fix")
    assert ", pivot, end and fix in line" in said
    assert f"less than {stroke:.1f} mm" in found.hint


@pytest.mark.parametrize("bend", [0.0, 0.3, 1.0, 3.0])
def test_three_in_line(bend: float) -> None:
    """Two bars of a four-bar, bent by so many degrees at their pivot; beyond asin(NEARLY) none are."""
    a = 80 * np.exp(1j * np.radians(100))
    b = a + 90 * np.exp(1j * np.radians(20))
    o4 = b + 70 * np.exp(1j * np.radians(20 + bend))
    fix = -150 - 60j
    places = {"o2": 0j, "a": a, "b": b, "o4": o4, "fix": fix}
    points = "\n".join(f"  {name}: [{at.real}, {at.imag}]" for name, at in places.items())
    section = f"""
points:
{points}
links:
  frame: [o2, o4, fix]
  lever: [o2, a]
  coupler: [a, b]
  rocker: [o4, b]
axle: {{on: lever}}
shock: {{start: fix, end: a, eye_to_eye: {abs(a - fix)}, stroke: 5}}
"""
    made = make(
        structure_of(
            {"frame": ["o2", "o4", "fix"], "lever": ["o2", "a"], "coupler": ["a", "b"],
             "rocker": ["o4", "b"]},
            "lever",
            ("fix", "a"),
        ),
        {**places, "rear_axle": -400 + 0j},
    )  # fmt: skip
    found = in_line(spec_of(section), made, np.ones(3, dtype=complex))
    if np.sin(np.radians(bend)) > NEARLY:
        assert found is None
    else:
        assert found in (("a", "b", "o4"), ("o4", "b", "a"))
    with_shock = in_line(spec_of(section), made, np.ones(3, dtype=complex), shock=True)
    assert with_shock is None
