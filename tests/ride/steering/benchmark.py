"""The benchmark bicycle of Meijaard, Papadopoulos, Ruina, Schwab (2007), table 1, and another."""

from dataclasses import replace

from frame3d.ride.steering.whipple import BodyMass, WheelMass, Whipple

BENCHMARK = Whipple(
    wheelbase_m=1.02,
    trail_m=0.08,
    tilt_degrees=18.0,  # pi / 10
    rear_wheel=WheelMass(0.3, 2.0, 0.0603, 0.12),
    body=BodyMass(0.3, -0.9, 85.0, 9.2, 11.0, 2.8, 2.4),
    front_assembly=BodyMass(0.9, -0.7, 4.0, 0.05892, 0.06, 0.00708, -0.00756),
    front_wheel=WheelMass(0.35, 3.0, 0.1405, 0.28),
    gravity_m_s2=9.81,
)
"""Table 1, read on the publisher's page; the body's and front assembly's inertia read in SymPy 1.14's
test of the same bicycle, signs turned to the paper's axes. Gravity is 9.81 there."""

OTHER = replace(
    BENCHMARK,
    wheelbase_m=1.21,
    trail_m=0.127,
    tilt_degrees=25.5,
    rear_wheel=WheelMass(0.372, 2.9, 0.121, 0.237),
    body=BodyMass(0.47, -1.11, 91.0, 11.3, 11.8, 3.4, 1.5),
    front_assembly=BodyMass(1.02, -0.83, 3.9, 0.21, 0.2, 0.06, 0.05),
    front_wheel=WheelMass(0.366, 2.3, 0.11, 0.215),
)
"""An invented one, slack and long, so that no formula holds for the benchmark's figures alone."""
