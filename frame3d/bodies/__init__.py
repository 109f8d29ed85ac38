"""Outlines (bodies) of the parts that the frame carries, and of the frame itself."""

from __future__ import annotations

from frame3d.bodies.assemble import bodies_of, carried_bodies, some_bodies
from frame3d.bodies.body import Absent, Bodies, Body

__all__ = ["Absent", "Bodies", "Body", "bodies_of", "carried_bodies", "some_bodies"]
