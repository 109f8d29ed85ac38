"""Housings across the centre plane: which of them cut tubes, and which hang free.

Side view of a housing (its axle runs along y) and a tube of the same body::

      inset: a tube holds it          free: no tube holds it,
      and is cut by it                tubes cut it, webs hold it
      ____________________            ____________________
             .-.                      ____________________
            ( o )                          |  | web
      _______`-'__________                 .-.
                                          ( o )
                                           `-'
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import vector
from frame3d.pivots.pins import housings
from frame3d.tubes.cuts.overlap import TOUCH, Envelope, cut_by
from frame3d.tubes.hardware import SHELL, Housing
from frame3d.tubes.placing.context import PlacementContext
from frame3d.tubes.placing.ends import Bar, mitres
from frame3d.tubes.tube import Tube

HOLD = 3.0
"""How deep a housing must lie in a tube that holds it [mm]; common practice, no source."""
LEFT = 1.0
"""Least height of tube left above or below a housing [mm]."""


def put_in(context: PlacementContext, envelopes: list[Envelope]) -> None:
    """Put the housings in place, and mark the tubes that they cut.

    Later tubes are cut by them too. Adds the housings to `envelopes`.
    """
    context.housings = housings(context.pins)
    added = [Envelope.of(housing, name) for name, housing in context.housings.items()]
    for tube in tuple(context.tubes.values()):
        own = [e for e in added if context.link_of(e.name) == tube.link]
        bar, ends = Bar(tube.axis, tube.section), (tube.start, tube.end)
        targets = [end.target for end in ends]
        names = cut_by(bar, mitres(context, bar, ends), targets, own, context.memory)
        more = tuple(name for name in names if name in context.housings)
        if more:
            context.tubes[tube.name] = replace(tube, cut_by=(*tube.cut_by, *more))
    envelopes += added


def settle(context: PlacementContext) -> None:
    """Set which housings are held by tubes and which hang free; free ones cut no tube.

    records a fault for a housing that cuts a tube in two, whose axle meets the bottom bracket
    shell, that ends inside a tube, or whose seat a tube reaches into.
    """
    for name, housing in tuple(context.housings.items()):
        cut = [tube for tube in context.tubes.values() if name in tube.cut_by]
        context.housings[name] = replace(housing, inset=_is_held(context, housing, cut))
        for tube in cut:
            if not context.housings[name].inset:
                rest = tuple(other for other in tube.cut_by if other != name)
                context.tubes[tube.name] = replace(tube, cut_by=rest)
            elif name not in (tube.start.target, tube.end.target):
                _check_severed(context, housing, tube)
        if housing.link is None and context.shell is not None:
            _check_shell(context, housing)
        _check_inside(context, housing)
        if not context.housings[name].inset:
            _check_seat(context, housing, cut)


def depth_in(envelope: Envelope, points: Array) -> float:
    """Return how deep the deepest of some points lies in a body [mm].

    Negative where none is inside: minus the distance of the nearest.
    """
    return float(envelope.depth(points).max())


def surface(housing: Housing) -> Array:
    """Return points all over a housing's surface, with its axis: (n, 3) [mm]."""
    turn = np.radians(np.arange(0.0, 360.0, 7.5))
    y = np.linspace(-housing.width / 2, housing.width / 2, 9)
    r = housing.od / 2
    round_ = np.stack([r * np.cos(turn), np.zeros_like(turn), r * np.sin(turn)], axis=1)
    points = vector(housing.at) + np.concatenate([round_, np.zeros((1, 3))])
    return np.asarray((points[:, None, :] + np.outer(y, [0.0, 1.0, 0.0])[None]).reshape(-1, 3))


def _is_held(context: PlacementContext, housing: Housing, cut: list[Tube]) -> bool:
    """Return whether a tube ends on a housing, or it lies `HOLD` deep in a tube or the shell."""
    if any(housing.name in (tube.start.target, tube.end.target) for tube in cut):
        return True
    points = surface(housing)
    around = [Envelope.of(tube, tube.name) for tube in cut]
    if housing.link is None and context.shell is not None:
        around.append(Envelope.of(context.shell, SHELL))
    return any(depth_in(envelope, points) >= HOLD for envelope in around)


def _check_severed(context: PlacementContext, housing: Housing, tube: Tube) -> None:
    """Fault if a housing cuts a tube in two."""
    s = float(tube.axis.nearest(vector(housing.at)[None])[0])
    distance = float(np.linalg.norm((tube.axis.at(s) - vector(housing.at))[[0, 2]]))
    height = float(tube.section.height_at(s))
    inside = tube.start.short_point + height / 2 < s < tube.axis.length - tube.end.short_point
    most = 2 * (height / 2 + distance - LEFT)
    through = (
        housing.width / 2 > abs(float(tube.axis.at(s)[1])) + float(tube.section.width_at(s)) / 2
    )
    if inside and through and housing.od > most:
        context.fault(
            "section",
            f"suspension.pivots.{housing.pivot}.od",
            f"the housing of {housing.od:g} mm cuts {tube.name} in two, which is {height:g} mm high "
            "there",
            f"at most {most:.1f}, or move {housing.pivot} to the tube's edge",
        )


def _check_inside(context: PlacementContext, housing: Housing) -> None:
    """Fault if a face of a housing lies inside a tube, where no axle goes in."""
    half = np.array([[0.0, housing.width / 2, 0.0]])
    faces = vector(housing.at) + np.concatenate([-half, half])
    for tube in context.tubes.values():
        if tube.link == housing.link and depth_in(Envelope.of(tube, tube.name), faces) > 0:
            s = float(tube.axis.nearest(vector(housing.at)[None])[0])
            reach = 2 * abs(float(tube.axis.at(s)[1])) + float(tube.section.width_at(s))
            context.fault(
                "section",
                f"suspension.pivots.{housing.pivot}.width",
                f"the housing of {housing.width:g} mm ends inside of {tube.name}, so no axle goes in",
                f"more than {reach:g}",
            )


def _check_seat(context: PlacementContext, housing: Housing, cut: list[Tube]) -> None:
    """Fault if a tube that cuts a free housing reaches into the seat of bearing or axle."""
    seat = replace(housing, od=housing.opening)
    for tube in cut:
        depth = depth_in(Envelope.of(tube, tube.name), surface(seat))
        if depth > TOUCH:
            context.fault(
                "section",
                f"suspension.points.{housing.pivot}",
                f"{tube.name} reaches {depth:.1f} mm into the seat of {housing.opening:g} mm in the "
                "housing there, which has to be round and straight over its whole width",
                f"{depth:.1f} mm further off, or {HOLD:g} mm deep in {tube.name}, which is then cut for "
                "the housing",
            )


def _check_shell(context: PlacementContext, housing: Housing) -> None:
    """Fault if a pivot axle would intersect the bottom bracket shell."""
    shell = context.shell
    assert shell is not None
    distance = math.dist((housing.at[0], housing.at[2]), shell.at)
    least = (shell.od + housing.bore) / 2
    if distance < least:
        context.fault(
            "inconsistent",
            f"suspension.points.{housing.pivot}",
            f"its axle of {housing.bore:g} mm runs into the bottom bracket shell, {distance:.1f} mm "
            "from the shell's axis",
            f"at least {least:.1f} mm away, or name bottom_bracket itself as the pivot",
        )
