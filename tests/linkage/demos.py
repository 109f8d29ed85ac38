"""Two invented suspensions, as sections of a parameter file: a four-link with an air shock, a single
pivot with a driven rocker and a coil.
"""

from __future__ import annotations

FOUR_LINK_140 = """
travel: 140
points:
  main_pivot: [14, 64]
  rear_pivot: [-407, 22]
  rocker_pivot: [-19, 297]
  rocker_rear: {on: rocker_pivot, forward: -97, above: 17}
  rocker_shock: {on: rocker_pivot, forward: -35, above: 44}
  shock_front: [156, 333]
links:
  frame: [main_pivot, rocker_pivot, shock_front]
  chainstay_link: [main_pivot, rear_pivot]
  seatstay_link: [rear_pivot, rocker_rear]
  rocker: [rocker_pivot, rocker_rear, rocker_shock]
axle: {on: seatstay_link}
brake: {on: seatstay_link}
shock: {start: shock_front, end: rocker_shock, size: 210x52.5}
spring:
  air: {piston: 42, volume_cm3: 120, negative: {volume_cm3: 18}}
sag: 30%
solve_for:
  - {point: rocker_shock, coordinate: above, to_meet: travel}
  - {point: shock_front, coordinate: x, to_meet: eye_to_eye}
"""
FOUR_LINK_AXLE = (-436.0, 36.0)

ROCKER_170 = """
travel: 170
points:
  main_pivot: [12, 70]
  strut_rear: [-371, 132]
  rocker_pivot: [-1, 271]
  rocker_rear: {on: rocker_pivot, forward: -114, above: 10}
  rocker_shock: {on: rocker_pivot, forward: -46, above: 53}
  shock_front: [174, 264]
links:
  frame: [main_pivot, rocker_pivot, shock_front]
  swingarm: [main_pivot, strut_rear]
  strut: [strut_rear, rocker_rear]
  rocker: [rocker_pivot, rocker_rear, rocker_shock]
axle: {on: swingarm}
brake: {on: swingarm}
shock: {start: shock_front, end: rocker_shock, size: 230x65}
spring: {coil: {preload: 1}}
sag: 30%
solve_for:
  - {point: rocker_shock, coordinate: above, to_meet: travel}
  - {point: shock_front, coordinate: x, to_meet: eye_to_eye}
"""
ROCKER_AXLE = (-442.0, 8.0)
