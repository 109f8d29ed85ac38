"""Where a linkage goes no further, and the points that are named."""

from __future__ import annotations

import numpy as np

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
