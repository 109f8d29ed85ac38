"""A minimal bike with a single pivot that drives its shock itself; invented."""

from __future__ import annotations

from pathlib import Path

MINIMAL = (Path(__file__).parents[2] / "configs" / "minimal.yaml").read_text()
SINGLE = """
build:
  rider: {mass_kg: 80, height: 1765, inseam: 830}
  stem: {length: 45}
  bike_mass_kg: 15
  fork: {travel: 140, sag: 20%}
  chainring: {teeth: 32}
  cassette: {cogs: [10, 18, 28, 51]}
suspension:
  sag: 30%
  unsprung_kg: 4
  points:
    main_pivot: [10, 70]
    shock_front: [150, 240]
    shock_rear: [-60, 210]
  links:
    frame: [main_pivot, shock_front]
    swingarm: [main_pivot, shock_rear]
  axle: {on: swingarm}
  shock: {start: shock_front, end: shock_rear, eye_to_eye: 212.132, stroke: 60}
  spring: {coil: {}}
"""
