"""The fork: crown, legs, arch and dropouts in one piece, and the steerer as a separate pin."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.geometry.arrays import Array
from frame3d.mockup.drawing import BLACK, SILVER, Drawing
from frame3d.mockup.fits import Peg
from frame3d.mockup.interfaces import (
    FACE,
    ForkSizes,
    fork_sizes,
    head_radius,
    steerer,
    steerer_deep,
    steerer_end,
)
from frame3d.mockup.part import Joint, Limb, Made, ModelPart
from frame3d.mockup.solid import Y, Z, around, axes, circle, minus, pipe, pressed, rod, together
from frame3d.parameters.models.mating import ArchSpec
from frame3d.tubes.hardware import RACE_SEAT, STEERER
from frame3d.tubes.tube import Tube

if TYPE_CHECKING:
    from manifold3d import Manifold

BELOW: Final = 12.0
"""Length of the lower legs below the axle [mm of the bike]; common practice, no source."""
ARCH_ROOM: Final = 72.0
"""Distance of the arch from the bead seat [mm of the bike]; as in the clearance checks."""


def fork(drawing: Drawing) -> Made:
    """Return the fork and its steerer."""
    sizes = fork_sizes(drawing)
    options, own = drawing.options, _axes(drawing)
    built = drawing.bike.fork
    front = _front(sizes)
    if built is not None:
        pieces = [*_boss(drawing, sizes), *_lugs(sizes)]
        front = front[0], max(_foremost(drawing, built, front[0]), FACE * sizes.lug)
    else:
        pieces = [_crown(drawing, sizes), *_legs(drawing, sizes)]
    if not sizes.rigid:
        pieces.append(_arch(drawing, sizes))
    whole = together(pieces)
    if built is not None:
        whole = together([whole.transform(own), *_tubes(drawing, built)])
        whole = whole.transform(np.linalg.inv(np.vstack([own, [0.0, 0.0, 0.0, 1.0]]))[:3])
    holes = [steerer(drawing).hole(-sizes.height - 50.0, 1.0, options.fit)]
    if drawing.has("wheels"):
        far = sizes.legs.spacing
        pin = drawing.axle_pin("front") / 2
        hole = Peg(drawing.axle("front"), Y, -Z, pin, keyed=False)
        holes.append(hole.hole(-far, far, options.fit))
        # A flat seat for the axle's head.
        seat = np.array([sizes.offset, sizes.outside, -sizes.drop])
        holes.append(
            rod(seat, seat + 3 * Y, head_radius(drawing, "front") + options.fit).transform(own)
        )
    whole = minus(whole.trim_by_plane(tuple(-front[0]), -front[1]).transform(own), holes)
    solid = ModelPart(
        "fork",
        BLACK if built is None else built.spec.colour,
        whole,
        _limbs(sizes, own) if built is None else _blades(drawing, built, sizes),
        down=own[:, :3] @ front[0],
        anywhere=True,
    )
    low, high = -steerer_deep(drawing, sizes), steerer_end(drawing)
    pin = steerer(drawing).solid(low, high)
    drawing.least("steerer", "diameter", 28.6, drawing.steerer_pin)
    parts = [solid, ModelPart("steerer", SILVER, pin, down=steerer(drawing).flat)]
    race = drawing.node("crown_race")
    joints = [
        Joint(
            kind="fixed",
            peg="steerer",
            hole="fork",
            at=race + low / 2 * drawing.place.up,
            along=drawing.place.up,
            diameter=drawing.steerer_pin,
            depth=-low,
            clearance=options.fit,
        ),
        Joint(
            kind="turning",
            peg="steerer",
            hole="frame",
            at=(drawing.node("head_tube_bottom") + drawing.node("head_tube_top")) / 2,
            along=drawing.place.up,
            diameter=drawing.steerer_pin,
            depth=float(
                np.linalg.norm(drawing.node("head_tube_top") - drawing.node("head_tube_bottom"))
            ),
            clearance=options.turn,
        ),
    ]
    return Made(tuple(parts), tuple(joints))


def _axes(drawing: Drawing) -> Array:
    """Return the motion from the fork's axes (forward, left, up the steering axis) to the model's."""
    return axes(drawing.node("crown_race"), drawing.place.up, drawing.place.ahead)


def _crown(drawing: Drawing, sizes: ForkSizes) -> Manifold:
    """Return a block that holds legs and steerer, deeper around the steerer where there is room."""
    legs = sizes.legs
    middle = 0.0 if sizes.rigid else legs.forward
    socket = drawing.steerer_pin / 2 + drawing.around
    hub = circle(max(socket, 24.0 * drawing.scale))
    ends = [circle(legs.upper / 2 + 0.6, middle, s * legs.spacing / 2) for s in (-1.0, 1.0)]
    if not sizes.rigid:
        # Up to the front plane, on which the fork is printed.
        ahead = _front(sizes)[1] - legs.upper / 2 - 0.6
        ends += [circle(legs.upper / 2 + 0.6, ahead, s * legs.spacing / 2) for s in (-1.0, 1.0)]
    block = pressed(around(hub, *ends), -sizes.height, 0.0)
    boss = pressed(around(circle(socket)), -steerer_deep(drawing, sizes), -0.1)
    return together([block, boss])


def _boss(drawing: Drawing, sizes: ForkSizes) -> list[Manifold]:
    """Return what is about the steerer's pin below the crown race, of a fork that the shop builds."""
    socket = drawing.steerer_pin / 2 + drawing.around
    deep = max(steerer_deep(drawing, sizes), sizes.height)
    return [pressed(around(circle(socket)), -deep, 0.0)]


def _lugs(sizes: ForkSizes) -> list[Manifold]:
    """Return the rounds about the axle, one at either blade."""
    found = []
    for sign in (-1.0, 1.0):
        axle = np.array([sizes.offset, sign * sizes.legs.spacing / 2, -sizes.drop])
        half = sign * sizes.legs.lower / 2 * Y
        found.append(rod(axle - half, axle + half, sizes.lug))
    return found


def _thick(drawing: Drawing, tube: Tube, s: Array) -> Array:
    """Return the radii along a tube of a built fork, thickened as a whole to what prints [mm]."""
    own = np.minimum(tube.section.height_at(s), tube.section.width_at(s)) / 2 * drawing.scale
    return np.asarray(own + max(drawing.rod("fork") / 2 - float(own.min()), 0.0))


def _tubes(drawing: Drawing, fork: Bike) -> list[Manifold]:
    """Return blades, segments and posts of a built fork as solid bars, blades up to the axle."""
    found = []
    for tube in fork.tubes:
        if tube.key in (STEERER, RACE_SEAT):
            continue
        s: Array = np.linspace(0.0, tube.axis.length, 60)
        radii = _thick(drawing, tube, s)
        bar = pipe(tube.axis, s.tolist(), (radii / drawing.scale).tolist())
        found.append(bar.scale((drawing.scale,) * 3))
        if tube.key == "fork_blade":
            axle = drawing.axle("front") + np.array([0.0, tube.axis.end[1] * drawing.scale, 0.0])
            found.append(
                rod(drawing.scale * tube.axis.at(tube.axis.length), axle, float(radii[-1]))
            )
    return found


def _foremost(drawing: Drawing, fork: Bike, normal: Array) -> float:
    """Return how far ahead the front plane of a built fork lies, which cuts its blades' fronts [mm]."""
    place, scale = drawing.place, drawing.scale
    blade = fork.tube("fork_blade_left")
    s: Array = np.linspace(0.0, blade.axis.length, 200)
    away = (blade.axis.points(s) - place.node("crown_race")) * scale
    own = np.stack([away @ place.ahead, away[:, 1], away @ place.up], axis=1)
    return float((own @ normal + FACE * _thick(drawing, blade, s)).max())


def _blades(drawing: Drawing, fork: Bike, sizes: ForkSizes) -> tuple[Limb, ...]:
    """Return where a built fork may be cut in two: along its blades."""
    found = []
    for side in ("left", "right"):
        blade = fork.tube(f"fork_blade_{side}")
        low, high = 0.3 * blade.axis.length, blade.axis.length - 2 * sizes.lug / drawing.scale
        s: Array = np.linspace(low, high, 80)
        found.append(Limb(drawing.scale * blade.axis.points(s), _thick(drawing, blade, s)))
    return tuple(found)


def _legs(drawing: Drawing, sizes: ForkSizes) -> list[Manifold]:
    legs, found = sizes.legs, []
    below = BELOW * drawing.scale
    for sign in (-1.0, 1.0):
        y = sign * legs.spacing / 2

        def at(forward: float, rise: float, y: float = y) -> Array:
            return np.array([forward, y, rise])

        axle = at(sizes.offset, -sizes.drop)
        inner = axle - sign * legs.lower / 2 * Y
        outer = axle + sign * legs.lower / 2 * Y
        found.append(rod(inner, outer, sizes.lug))
        if sizes.rigid:
            top = at(0.0, -sizes.height / 2)
            found.append(rod(top, axle, legs.upper / 2, legs.lower / 2))
            continue
        foot = -sizes.drop - below
        low, high = at(legs.forward, foot), at(legs.forward, sizes.lower_top)
        found.append(rod(low, high, legs.lower / 2))
        found.append(
            rod(at(legs.forward, sizes.lower_top - 1.0), at(legs.forward, -0.2), legs.upper / 2)
        )
        # A transition from the lug to the leg.
        a, b = at(legs.forward, -sizes.drop), at(legs.forward, -sizes.drop + 2.5 * sizes.lug)
        from manifold3d import Manifold

        narrow = rod(inner, outer, sizes.lug)
        found.append(Manifold.batch_hull([narrow, rod(a, b, 0.8 * legs.lower / 2)]))
    return found


def _arch(drawing: Drawing, sizes: ForkSizes) -> Manifold:
    """Return the arch over the tyre from leg to leg, with a flat front."""
    spec = drawing.bike.spec.build.fork
    given = None if spec is None else spec.arch
    arch = ArchSpec() if given is None else given
    size = drawing.place.tyre("front")
    scale, legs = drawing.scale, sizes.legs
    radius = arch.radius
    if radius is None:
        radius = (622.0 if size is None else size.bead_seat) / 2 + ARCH_ROOM
    thick = drawing.least("fork", "arch's thickness", 0.6 * arch.thickness, drawing.rod("fork"))
    rise = radius * scale + thick / 2 - sizes.drop
    low = min(sizes.lower_top - thick / 2, rise)
    shoulder = 0.55 * legs.spacing / 2
    points = [
        (-legs.spacing / 2, low),
        (-shoulder, rise),
        (shoulder, rise),
        (legs.spacing / 2, low),
    ]
    # The section is in (left, up), extruded forward.
    ahead = np.array([[0.0, 0.0, 1.0, 0.0], [1.0, 0.0, 0.0, 0.0], [0.0, 1.0, 0.0, 0.0]])
    back = legs.forward - 0.1 * legs.lower
    front = _front(sizes)[1]
    pieces = [
        pressed(around(circle(thick / 2, *a), circle(thick / 2, *b)), back, front, ahead)
        for a, b in pairwise(points)
    ]
    return together(pieces)


def _front(sizes: ForkSizes) -> tuple[Array, float]:
    """Return the front plane, which cuts a little off the legs so that the fork prints lying on it.

    Returns:
        its outward normal in own axes, (3,) float, and its distance.
    """
    legs = sizes.legs
    if sizes.rigid:
        run = np.array([sizes.offset, 0.0, -sizes.drop])
        normal = np.array([sizes.drop, 0.0, sizes.offset]) / float(np.linalg.norm(run))
        return normal, FACE * max(legs.upper / 2, sizes.lug)
    reach = max(legs.forward + FACE * legs.lower / 2, sizes.offset + FACE * sizes.lug)
    return np.array([1.0, 0.0, 0.0]), reach


def _limbs(sizes: ForkSizes, own: Array) -> tuple[Limb, ...]:
    legs, found = sizes.legs, []
    for sign in (-1.0, 1.0):
        y = sign * legs.spacing / 2
        if sizes.rigid:
            ends = [(0.0, y, -sizes.height - 4.0), (sizes.offset, y, -sizes.drop + 3 * sizes.lug)]
        else:
            ends = [
                (legs.forward, y, sizes.lower_top - legs.lower / 2 - 2.0),
                (legs.forward, y, -sizes.drop + 3 * sizes.lug),
            ]
        a, b = np.array(ends)
        share = np.linspace(0.0, 1.0, 80)[:, None]
        points = a + share * (b - a)
        radius = np.full(80, min(legs.lower, legs.upper) / 2 if sizes.rigid else legs.lower / 2)
        found.append(Limb(points @ own[:, :3].T + own[:, 3], radius))
    return tuple(found)
