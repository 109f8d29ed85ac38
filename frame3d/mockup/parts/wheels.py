"""The wheels: a tyre, and two halves of rim, spokes and hub that enclose it and rotate on a pin.

Section through axle and tyre:

              tyre
            .-------.
           |         |
            '._____.'
           [ rim half| rim half ]
              |      |      |
              spokes |  spokes        each half prints lying on the middle plane, without support
              |      |      |
        =====[ hub   |   hub ]=====  pin

A rib in the tyre's bore fits a groove in both halves, so that their spokes are opposite each other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.bodies.parts.wheel import first_cog_of
from frame3d.bodies.placement import End
from frame3d.geometry.arrays import Array
from frame3d.mockup.drawing import BLACK, SILVER, Drawing
from frame3d.mockup.fits import FLAT, Peg
from frame3d.mockup.interfaces import BARREL, fork_sizes, head_radius, hub_half, hub_radius
from frame3d.mockup.part import Joint, Limb, Made, ModelPart
from frame3d.mockup.solid import (
    Y,
    Z,
    across,
    area,
    circle,
    grown,
    minus,
    pressed,
    sides,
    together,
    turned,
)
from frame3d.parameters.sizes.chains import pitch_radius

if TYPE_CHECKING:
    from manifold3d import CrossSection, Manifold

SEATED: Final = 0.12
"""Depth of the tyre's seat in the rim, as a share of the tyre's width."""
SEAT: Final = 0.26
"""Half of the seat's width, as a share of the tyre's width."""
FLANGE: Final = 0.09
"""Height of the rim's edge that holds the tyre, as a share of the tyre's width."""
RIM_DEPTH: Final = 20.0
"""Depth of the rim from the bead seat inward [mm of the bike]; common practice, no source."""
HUB_FLANGE: Final = 29.0
"""Radius of a hub's flange [mm of the bike]; common practice, no source."""
SPOKES: Final = 20
RIB: Final = 1.2
"""Height of the rib that keys the halves to the tyre [mm]."""
COG_STEPS: Final = 6


def wheels(drawing: Drawing) -> Made:
    """Return both wheels."""
    parts: list[ModelPart] = []
    joints: list[Joint] = []
    notes: list[str] = []
    for end in ("front", "rear"):
        made = _wheel(drawing, end)
        parts += made.parts
        joints += made.joints
        notes += made.notes
    return Made(tuple(parts), tuple(joints), tuple(notes))


def _wheel(drawing: Drawing, end: End) -> Made:
    size = drawing.place.tyre(end)
    assert size is not None
    scale, options = drawing.scale, drawing.options
    at = across(drawing.axle(end))
    outer, width = size.radius * scale, size.width * scale
    bore = size.bead_seat / 2 * scale + SEATED * width
    inner = drawing.least(
        f"{end}_rim", "depth", bore / scale - size.bead_seat / 2 + RIM_DEPTH, 2 * options.wall + RIB
    )
    inner = bore - inner
    half = _rim(inner, bore, width, options.wall)
    tyre = _tyre(outer, width, bore, half, options.fit)
    turns = turned(grown(tyre, options.turn)).transform(at)
    rib = _key(bore, 0.0, SEAT * width - options.fit)
    tyre = together([turned(tyre), rib])
    groove = _key(bore, options.fit, SEAT * width)
    halves = [
        minus(_half(drawing, end, half, inner, bore), [groove]),
        minus(_half(drawing, end, half, inner, bore, right=True), [groove]),
    ]
    flip = np.array([[1.0, 0.0, 0.0, 0.0], [0.0, 1.0, 0.0, 0.0], [0.0, 0.0, -1.0, 0.0]])
    ring = (_circle_limb(at, outer - width / 2, width / 2),)
    # A half's rim may be cut where its section is deepest, between two spokes.
    deep = min(bore - inner, SEAT * width + FLANGE * width) / 2
    rim = _circle_limb(at, (inner + bore) / 2, deep)
    rims = [Limb(rim.points + sign * deep * Y, rim.radius) for sign in (1.0, -1.0)]
    planes = _planes(at, SPOKES, 0.0)
    parts = [
        ModelPart(
            f"{end}_tyre",
            BLACK,
            tyre.transform(at),
            ring,
            _planes(at, 16, 0.5),
            down=Y,
            turns=turns,
        ),
        ModelPart(
            f"{end}_wheel_left", SILVER, halves[0].transform(at), (rims[0],), planes, down=-Y
        ),
        ModelPart(
            f"{end}_wheel_right",
            SILVER,
            halves[1].transform(flip).transform(at),
            (rims[1],),
            planes,
            down=Y,
        ),
    ]
    axle, joints = _axle(drawing, end)
    return Made((*parts, axle), joints)


def _rim(inner: float, bore: float, width: float, wall: float) -> CrossSection:
    """Return half of a rim's section, (radius, height over the middle plane), its edge at 45 degrees."""
    edge = FLANGE * width
    seat = SEAT * width
    top = max(seat + edge + 0.04 * width, seat + edge + 0.4)
    return area(
        np.array(
            [
                (inner, 0.0),
                (bore, 0.0),
                (bore, seat),
                (bore + edge, seat + edge),
                (bore + edge, top),
                (bore - 0.3 * (bore - inner), top),
                (inner, max(0.55 * top, wall)),
            ]
        )
    )


def _tyre(outer: float, width: float, bore: float, half: CrossSection, fit: float) -> CrossSection:
    """Return a tyre's section, (radius, height), without the rim's halves.

    Round, with tangents at 45 degrees to a flat on either side, so that it prints lying without support.
    """
    radius = width / 2
    middle = outer - radius
    lean = radius * (np.sqrt(2) - 1)
    around = np.vstack(
        [
            circle(radius, middle),
            [(middle + a, b) for a in (-lean, lean) for b in (-radius, radius)],
        ]
    )
    from manifold3d import CrossSection

    whole = CrossSection.hull_points(np.ascontiguousarray(around))
    kept = CrossSection.square((2 * outer, 2 * width)).translate((bore, -width))
    rims = grown(half, fit)
    edge = rims.bounds()
    # The tyre does not wrap around the rim's edge, where it could not be printed.
    rims += CrossSection.square((edge[2], width)).translate((0.0, edge[3] - 0.1))
    gap = CrossSection.square((bore + fit, 2 * SEAT * width)).translate((0.0, -SEAT * width))
    return (whole ^ kept) - rims - rims.mirror((0.0, 1.0)) - gap


def _key(bore: float, clearance: float, half: float) -> Manifold:
    """Return the rib in the tyre's bore, or with a clearance its groove, `half` long on either side."""
    wide, deep = 2.0 + 2 * clearance, RIB + clearance
    low, high = bore - deep, bore + 0.5
    corners = [(low, -wide / 2), (high, -wide / 2), (high, wide / 2), (low, wide / 2)]
    return pressed(area(np.array(corners)), -half, half)


def _half(
    drawing: Drawing, end: End, rim: CrossSection, inner: float, bore: float, right: bool = False
) -> Manifold:
    """Return half a wheel on z = 0, with its hub upward."""
    options, scale, name = drawing.options, drawing.scale, f"{end}_wheel"
    pin = drawing.axle_pin(end)
    hole = pin / 2 + options.turn
    barrel = hub_radius(drawing, end)
    flange = max(HUB_FLANGE * scale, barrel)
    if not right:
        drawing.least(name, "wall of the hub", BARREL - pin / 2 / scale, barrel - pin / 2)
        drawing.least(name, "spoke diameter", 2.0, options.rod)
    # Each half is a separate print.
    thick = max(options.rod / 2, options.wall)
    top = hub_half(drawing, end)
    low = min(1.5 * thick, 0.6 * top)
    hub = area(
        np.array(
            [
                (0.0, 0.0),
                (flange, 0.0),
                (flange, low),
                (barrel, min(low + flange - barrel, top)),
                (barrel, top),
                (0.0, top),
            ]
        )
    )
    pieces = [turned(rim), turned(hub)]
    pieces += list(_spokes(flange, (inner + bore) / 2, options.rod, thick))
    if right and end == "rear":
        pieces += list(_cogs(drawing, top))
    return minus(together(pieces), [pressed(area(circle(hole)), -1.0, top + 1.0)])


def _spokes(flange: float, out: float, width: float, thick: float) -> list[Manifold]:
    """Return spokes as flat bars from the flange's edge to the rim, leaning to alternate sides."""
    found = []
    for i in range(SPOKES):
        turn = 2 * np.pi * (i + 0.5) / SPOKES
        lean = 0.75 * flange * (1 if i % 2 else -1)
        along, side = (
            np.array([np.cos(turn), np.sin(turn)]),
            np.array([-np.sin(turn), np.cos(turn)]),
        )
        a, b = lean * side, out * along - 0.15 * lean * side
        way = (b - a) / np.linalg.norm(b - a)
        beside = width / 2 * np.array([-way[1], way[0]])
        found.append(
            pressed(area(np.array([a - beside, b - beside, b + beside, a + beside])), 0.0, thick)
        )
    return found


def _cogs(drawing: Drawing, top: float) -> list[Manifold]:
    """Return the cassette as a stepped cone, largest cog at the wheel's middle."""
    spec, first = drawing.bike.spec.build.cassette, first_cog_of(drawing.place)
    if spec is None or first is None:
        return []
    end = min(max(first * drawing.scale, 1.0), top - 0.2)
    count = min(len(spec.cogs), COG_STEPS)
    teeth = np.linspace(spec.cogs[-1], spec.cogs[0], count)
    found = []
    for i, number in enumerate(teeth):
        radius = pitch_radius(max(round(float(number)), 9)) * drawing.scale
        found.append(pressed(area(circle(radius)), 0.0, end * (i + 1.4) / (count + 0.4)))
    return found


def _planes(at: Array, count: int, first: float) -> tuple[tuple[Array, Array], ...]:
    """Return `count` / 2 planes through the axle at which a ring may be cut, from an angle on."""
    turns = 2 * np.pi * (np.arange(count // 2) + first) / count
    return tuple((at[:, 3], at[:, :3] @ np.array([-np.sin(a), np.cos(a), 0.0])) for a in turns)


def _circle_limb(at: Array, radius: float, half: float) -> Limb:
    turn = 0.03 + np.linspace(0.0, 2 * np.pi, max(90, sides(radius)))
    ring = np.stack([radius * np.cos(turn), radius * np.sin(turn), 0 * turn], axis=1)
    return Limb(ring @ at[:, :3].T + at[:, 3], np.full(len(turn), half))


def _axle(drawing: Drawing, end: End) -> tuple[ModelPart, tuple[Joint, ...]]:
    """Return an axle: a pin with a head on the left, through fork or dropouts and the hub."""
    options, scale = drawing.options, drawing.scale
    pin, name = drawing.axle_pin(end), f"{end}_axle"
    hub = drawing.place.hub(end)
    assert hub is not None
    drawing.least(name, "diameter", hub[1], pin)
    if end == "front":
        far = fork_sizes(drawing).outside
        holder = "fork"
    else:
        thickness = drawing.bike.dropouts[0].thickness if drawing.bike.dropouts else 7.0
        far = hub[0] / 2 * scale + max(thickness * scale, options.wall)
        holder = "frame"
    peg = Peg(drawing.axle(end), Y, -Z, pin / 2, keyed=False)
    # The head's flat is in the plane of the pin's, so that both lie on the plate.
    wide = Peg(drawing.axle(end), Y, -Z, head_radius(drawing, end), keyed=False)
    head = wide.solid(far, far + options.wall, (False, True)).trim_by_plane(
        (0.0, 0.0, 1.0), float(drawing.axle(end)[2]) - FLAT * pin / 2
    )
    solid = together([peg.solid(-far, far + options.wall / 2, (True, False)), head])
    inside = hub_half(drawing, end)
    at = drawing.axle(end)
    middle = at + Y * (far + inside) / 2
    held = Joint(
        kind="fixed",
        peg=name,
        hole=holder,
        at=middle,
        along=Y,
        diameter=pin,
        depth=far - inside,
        clearance=options.fit,
    )
    turning = tuple(
        Joint(
            kind="turning",
            peg=name,
            hole=f"{end}_wheel_{side}",
            at=at + sign * Y * inside / 2,
            along=Y,
            diameter=pin,
            depth=inside,
            clearance=options.turn,
        )
        for side, sign in (("left", 1.0), ("right", -1.0))
    )
    return ModelPart(name, SILVER, solid, down=-Z), (held, *turning)
