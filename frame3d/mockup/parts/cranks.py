"""The cranks: two arms, chainring and pedals on a spindle that rotates in the shell."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.bodies.motion.mounts import CRANK
from frame3d.bodies.motion.pose import matrix
from frame3d.bodies.placement import SIDES, Side
from frame3d.geometry.arrays import Array
from frame3d.mockup.drawing import BLACK, SILVER, SPINDLE, Drawing
from frame3d.mockup.fits import FLAT, Peg
from frame3d.mockup.options import PEG
from frame3d.mockup.part import Joint, Made, ModelPart
from frame3d.mockup.parts.letters import CAP, outline, written
from frame3d.mockup.solid import Y, Z, across, area, around, axes, circle, minus, pressed, together
from frame3d.parameters.sizes.chains import pitch_radius

if TYPE_CHECKING:
    from manifold3d import Manifold

TOOTH: Final = 2.0
"""Smallest pitch of printable teeth [mm]; common practice, no source."""
MARK, STROKE, ENGRAVED = 3.0, 0.6, 0.4
"""Height, stroke (at least 0.6: trade pages) and depth of the letters L and R on the arms [mm]."""
EYE: Final = 20.0
"""Radius of a crank arm around the spindle [mm of the bike]; common practice, no source."""
ARMS: Final = 5
"""Number of arms of the chainring."""


def cranks(drawing: Drawing) -> Made:
    """Return spindle, arms, chainring and pedals."""
    spec, options, scale = drawing.bike.spec.build.crank, drawing.options, drawing.scale
    assert spec is not None
    assert spec.q_factor is not None
    outer = spec.q_factor / 2 * scale + drawing.arms_out
    thick = drawing.least("crank_arm", "thickness", spec.thickness, drawing.wall("crank_arm"))
    inner = outer - thick
    shell = _shell(drawing)
    spindle = _spindle(drawing)
    drawing.least("crank_spindle", "diameter", SPINDLE, drawing.spindle_pin)
    parts: list[ModelPart] = []
    joints: list[Joint] = [
        Joint(
            kind="turning",
            peg="crank_spindle",
            hole="frame",
            at=np.zeros(3),
            along=Y,
            diameter=drawing.spindle_pin,
            depth=2 * shell,
            clearance=options.turn,
        )
    ]
    ring = None
    if spec.chainline is not None and drawing.bike.spec.build.chainring is not None:
        ring = _ring(drawing, shell + options.turn, inner, spec.chainline * scale)
        parts.append(ring[0])
        joints.append(_joint(drawing, "chainring", -spec.chainline * scale, 2 * options.wall))
    for side, sign in SIDES:
        foot = shell + options.turn if sign > 0 or ring is None else ring[1]
        arm = _arm(drawing, side, foot, inner, outer)
        parts.append(ModelPart(f"crank_arm_{side}", BLACK, arm, down=sign * Y))
        joints.append(_joint(drawing, f"crank_arm_{side}", sign * (inner + outer) / 2, thick))
        pedal = drawing.bike.spec.build.pedal
        if pedal is not None:
            made = _pedal(drawing, side, inner, outer)
            parts.append(made[0])
            joints.append(made[1])
    pin = ModelPart("crank_spindle", SILVER, spindle.solid(-outer, outer), down=spindle.flat)
    return Made((pin, *parts), tuple(joints))


def _joint(drawing: Drawing, name: str, y: float, depth: float) -> Joint:
    return Joint(
        kind="fixed",
        peg="crank_spindle",
        hole=name,
        at=y * Y,
        along=Y,
        diameter=drawing.spindle_pin,
        depth=depth,
        clearance=drawing.options.fit,
    )


def _shell(drawing: Drawing) -> float:
    """Return the distance of the shell's faces from the centre plane [mm]."""
    shell = drawing.bike.shell
    return (34.0 if shell is None else shell.half) * drawing.scale


def _spindle(drawing: Drawing) -> Peg:
    """Return the spindle: along y through the shell, its flat toward the right arm."""
    turned = matrix(CRANK, drawing.pose)[:3, :3] @ np.array([-1.0, 0.0, 0.0])
    return Peg(np.zeros(3), Y, turned, drawing.spindle_pin / 2)


def _arm(drawing: Drawing, side: Side, foot: float, inner: float, outer: float) -> Manifold:
    """Return a flat arm with a boss inward to the part beside it, at `foot` from the centre plane."""
    spec, options, scale = drawing.bike.spec.build.crank, drawing.options, drawing.scale
    assert spec is not None
    sign = 1.0 if side == "left" else -1.0
    around_peg = options.fit + drawing.wall("crank_arm")
    hole = PEG / 2 + around_peg
    big = max(drawing.spindle_pin / 2 + around_peg, EYE * scale)
    small = max(spec.boss / 2 * scale, hole if drawing.bike.spec.build.pedal else options.rod / 2)
    if side == "left":
        drawing.least("crank_arm", "width at the spindle", 2 * EYE, 2 * big)
        drawing.least("crank_arm", "width at the pedal", spec.boss, 2 * small)
    way = matrix(CRANK, drawing.pose)[:3, :3] @ np.array([sign, 0.0, 0.0])
    eye = spec.length * scale * way
    # The section is in (x, -z), extruded along y.
    start, end = circle(big), circle(small, eye[0], -eye[2])
    low, high = sorted((sign * inner, sign * outer))
    at = across(np.zeros(3))
    waist = circle(0.82 * small, 0.55 * eye[0], -0.55 * eye[2])
    flat = area(np.vstack(around(start, waist).to_polygons()))
    flat += area(np.vstack(around(waist, end).to_polygons()))
    low_boss, high_boss = sorted((sign * (foot + 0.05), sign * (inner + 0.1)))
    boss = pressed(area(circle(drawing.spindle_pin / 2 + around_peg)), low_boss, high_boss, at)
    solid = together([pressed(flat, low, high, at), boss])
    taken = [_spindle(drawing).hole(-outer - 1.0, outer + 1.0, options.fit)]
    if 0.82 * small > MARK / 2 + 0.6 and outer - inner > 2 * ENGRAVED:
        # On the inner side, which faces up in the print.
        on = axes(0.5 * eye + sign * inner * Y, -sign * Y, way)
        letter = written(side[0])
        shape = outline(letter, MARK, STROKE).translate((-letter.width * MARK / CAP / 2, -MARK / 2))
        taken.append(pressed(shape, -ENGRAVED, 1.0, on))
    if drawing.bike.spec.build.pedal is not None:
        taken.append(_pedal_peg(drawing, side, eye).hole(inner - 1.0, outer + 1.0, options.fit))
    return minus(solid, taken)


def _ring(drawing: Drawing, foot: float, inner: float, line: float) -> tuple[ModelPart, float]:
    """Return the chainring with a boss toward the shell, and the distance of its outer face [mm]."""
    spec, options, scale = drawing.bike.spec.build.chainring, drawing.options, drawing.scale
    assert spec is not None
    thick = drawing.least("chainring", "thickness", spec.thickness, drawing.wall("chainring"))
    # It is thickened away from the stays.
    low = line - spec.thickness / 2 * scale
    high = min(low + thick, inner - 0.1)
    radius = pitch_radius(spec.teeth) * scale
    teeth = min(spec.teeth, int(2 * np.pi * radius / TOOTH))
    hub = drawing.spindle_pin / 2 + options.fit + drawing.wall("chainring")
    turn = 2 * np.pi * np.arange(8 * teeth) / (8 * teeth)
    wave = radius + 0.16 * (2 * np.pi * radius / teeth) * np.clip(1.6 * np.cos(teeth * turn), -1, 1)
    outline = area(np.stack([wave * np.cos(turn), wave * np.sin(turn)], axis=1))
    rim = max(radius - 1.5 * options.wall - 0.04 * radius, hub + 0.2)
    spider = hub + 0.35 * (rim - hub)
    if rim - hub > 2.0:
        window = area(circle(rim)) - area(circle(min(hub + options.wall, spider)))
        for i in range(ARMS):
            a = 2 * np.pi * (i + 0.25) / ARMS
            along = np.array([np.cos(a), np.sin(a)])
            side = np.array([-along[1], along[0]])
            wide, slim = 1.6 * options.wall, 0.9 * options.wall
            window -= area(
                np.array(
                    [
                        -wide * side,
                        rim * 1.2 * along - slim * side,
                        rim * 1.2 * along + slim * side,
                        wide * side,
                    ]
                )
            )
        outline -= window
    at = across(np.zeros(3))
    pieces = [pressed(outline, -high, -low, at), pressed(area(circle(hub)), -high, -foot, at)]
    hole = _spindle(drawing).hole(-high - 1.0, 0.0, options.fit)
    tips = circle(float(wave.max()) + options.turn)
    turns = pressed(area(tips), -high - options.turn, options.turn - low, at)
    solid = minus(together(pieces), [hole])
    return ModelPart("chainring", SILVER, solid, down=-Y, turns=turns), high


def _pedal_peg(drawing: Drawing, side: Side, eye: Array) -> Peg:
    sign = 1.0 if side == "left" else -1.0
    return Peg(eye, sign * Y, -Z, PEG / 2)


def _pedal(drawing: Drawing, side: Side, inner: float, outer: float) -> tuple[ModelPart, Joint]:
    """Return a pedal: a platform in the plane of its peg's flat, so that it prints lying."""
    pedal, crank = drawing.bike.spec.build.pedal, drawing.bike.spec.build.crank
    assert pedal is not None
    assert crank is not None
    options, scale = drawing.options, drawing.scale
    sign = 1.0 if side == "left" else -1.0
    way = matrix(CRANK, drawing.pose)[:3, :3] @ np.array([sign, 0.0, 0.0])
    eye = crank.length * scale * way
    peg = _pedal_peg(drawing, side, eye)
    centre = eye + sign * (outer + pedal.axle * scale) * Y
    bottom = eye[2] - FLAT * PEG / 2
    half_x, half_y = pedal.length / 2 * scale, pedal.width / 2 * scale
    half_y = min(half_y, pedal.axle * scale - 0.4)
    thick = max(pedal.thickness * scale, FLAT * PEG)
    if side == "left":
        drawing.least("pedal", "thickness", pedal.thickness, thick)
        drawing.least("pedal", "axle's diameter", 9.0, PEG)
    corner = min(half_x, half_y) * 0.3
    outline = around(
        *(
            circle(corner, x * (half_x - corner), y * (half_y - corner))
            for x in (-1, 1)
            for y in (-1, 1)
        )
    )
    spine = PEG / 2 + options.wall
    slot = half_x - spine - options.wall
    if slot > 1.0:
        for x in (-1.0, 1.0):
            middle = x * (spine + slot / 2)
            window = around(
                *(circle(slot / 2, middle, y * (half_y - options.wall - slot / 2)) for y in (-1, 1))
            )
            if half_y - options.wall - slot / 2 > 0:
                outline -= window
    at = np.column_stack([np.eye(3), np.array([centre[0], centre[1], bottom])])
    platform = pressed(outline, 0.0, thick, at)
    solid = together([platform, peg.solid(inner, outer + pedal.axle * scale, (True, False))])
    name = f"pedal_{side}"
    joint = Joint(
        kind="fixed",
        peg=name,
        hole=f"crank_arm_{side}",
        at=eye + sign * (inner + outer) / 2 * Y,
        along=Y,
        diameter=PEG,
        depth=outer - inner,
        clearance=options.fit,
    )
    return ModelPart(name, BLACK, solid, down=-Z), joint
