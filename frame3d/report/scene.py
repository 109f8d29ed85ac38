"""The scene document for the viewer: parts, mounts, motions and checks."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import Any, Final

import numpy as np

from frame3d.bodies.body import Body
from frame3d.bodies.motion.mounts import CIRCLE, MOTIONS, SHIFT, SWING, TRAVELS, TURN, Mount, Step
from frame3d.bodies.motion.pose import own_matrix
from frame3d.bodies.placement import End, Placement
from frame3d.bodies.shapes import Torus
from frame3d.clearance.result import Report
from frame3d.clearance.scene import Scene
from frame3d.formats.assembly import mating_bodies
from frame3d.formats.documents import rounded
from frame3d.looks.piece import Piece
from frame3d.report.facts import carried_facts, frame_facts
from frame3d.report.figure import figure_document
from frame3d.report.meshes import Meshes
from frame3d.report.texts import Texts
from frame3d.report.tracks import GapTrack

KINDS: Final = {TURN: "turn", SHIFT: "shift", CIRCLE: "circle", SWING: "swing"}
"""Name of each kind of step in the document."""


def scene_document(
    scene: Scene, report: Report, meshes: Meshes, tracks: Mapping[int, GapTrack], texts: Texts
) -> dict[str, Any]:
    """Return the scene document as plain data, in mm and degrees, in the frame's axes.

    Args:
        scene: the bike and its parts.
        report: its checks.
        meshes: whose nodes the document is about.
        tracks: by the place of their results in the report.
        texts: for the titles.
    """
    place = Placement(scene.bike)
    bodies = {body.name: body for body in scene.bodies}
    carried = scene.parts
    mounts = Mounts()
    parts: list[dict[str, Any]] = []
    for part in meshes.frame:
        body = bodies.get(part.name)
        mount = place.link(part.link) if body is None else body.mount
        group = "frame" if part.link is None else "linkage"
        grams, length = meshes.grams[part.name], meshes.lengths.get(part.name)
        facts = frame_facts(scene.bike, part, grams, length, texts)
        parts.append(_part(part.name, group, mounts.key(mount), facts, part.colour, texts))
    for body in mating_bodies(carried):
        facts = carried_facts(scene.spec, body, texts)
        shown = _part(
            body.name,
            _group(body, texts),
            mounts.key(body.mount),
            facts,
            body.colour,
            texts,
        )
        if body.name in meshes.looks:
            shown["looks"] = [_look(piece) for piece in meshes.looks[body.name]]
        parts.append(shown)
    stand = _stand(scene, place, mounts)
    rider = figure_document(scene.bike, mounts.key, texts)
    return {
        "parts": parts,
        "rider": rider,
        "stand": stand,
        "mounts": mounts.steps,
        "swings": mounts.swings,
        "motions": [_motion(scene, r.name, r.low, r.high) for r in scene.ranges(MOTIONS)],
        "checks": [
            {
                "id": check_id(i),
                "name": r.name,
                "title": check_title(r.name, r.title, texts),
                "between": r.between,
                "names": None if r.between is None else [texts.part(n) for n in r.between],
                "gap": r.gap,
                "error": r.error,
                "least": r.least,
                "wide": r.is_wide,
                "decimals": r.decimals(1),
                "required": r.required,
                "ok": r.ok,
                "unit": r.unit,
                "source": r.source,
                "note": r.note,
                "at": dict(r.at),
                "points": r.points,
                "mend": list(r.mend),
                "track": _track(scene, tracks.get(i)),
            }
            for i, r in enumerate(report.results)
        ],
    }


def _stand(scene: Scene, place: Placement, mounts: Mounts) -> dict[str, Any]:
    """Return what the figures of the bike follow from as it moves: wheels, steering axis, seat.

    The bottom bracket is the frame's origin as drawn; an eccentric insert moves it.
    """
    bike = scene.bike
    chart, nodes = bike.chart, bike.nodes
    angle = math.radians(chart["head_tube_angle"] or 0.0)
    tubes = {
        body.name: shape.shape.tube_radius
        for body in scene.bodies
        for shape in body.shapes
        if body.name in ("rear_tyre", "front_tyre") and isinstance(shape.shape, Torus)
    }
    post = bike.spec.build.seatpost
    ends: tuple[End, End] = ("rear", "front")
    return {
        "bottom_bracket": {"mount": mounts.key(place.spindle)},
        "wheels": [
            {
                "axle": nodes[f"{end}_axle"],
                "radius": chart[f"{end}_wheel_radius"],
                "tube": tubes.get(f"{end}_tyre", 0.0),
                "mount": mounts.key(place.wheel_mount(end)),
            }
            for end in ends
        ],
        "top": nodes["head_tube_top"],
        "crown": nodes["crown_race"],
        "down": (math.cos(angle), 0.0, -math.sin(angle)),
        "seat": {
            "angle": chart["actual_seat_tube_angle"],
            "offset": chart["seat_tube_offset"],
            "height": None if post is None else post.saddle_height,
        },
    }


def check_id(place: int) -> str:
    """Return the id of a result, the same in viewer and page."""
    return f"check-{place}"


def check_title(name: str, title: str, texts: Texts) -> str:
    """Return a check's title; for one of the file's own checks, the file's text."""
    known = texts.get(f"check.{name}")
    if known is not None:
        return known
    a, to, b = title.partition(" to ")
    return f"{texts.part(a)} – {texts.part(b)}" if to and name.startswith("extra.") else title


def sags(scene: Scene) -> dict[str, float]:
    """Return the travels under the rider's weight, by motion [mm]."""
    out: dict[str, float] = {}
    linkage = scene.bike.linkage
    if linkage is not None:
        from frame3d.bike.suspended import rear_sag

        rear = rear_sag(scene.spec, linkage)
        if rear > 0:
            out["rear"] = rear
    fork = scene.spec.build.fork
    if fork is not None and fork.travel * fork.sag > 0:
        out["fork"] = fork.travel * fork.sag
    return out


def compact(document: Any) -> str:
    """Return a document as JSON without spaces; numbers to 1e-9, enough for any lever arm."""
    return json.dumps(
        rounded(document, gaps=True), ensure_ascii=False, allow_nan=False, separators=(",", ":")
    )


class Mounts:
    """Mounts and swings of the document, without duplicates."""

    def __init__(self) -> None:
        self.steps: dict[str, list[dict[str, Any]]] = {"frame": []}
        self.swings: dict[str, dict[str, Any]] = {}
        self._known: list[tuple[Mount, str]] = []

    def key(self, mount: Mount) -> str:
        """Return the key of a mount; a new mount is added."""
        for known, key in self._known:
            if known == mount:
                return key
        key = mount.name
        count = 1
        while key in self.steps and (mount.steps or key != "frame"):
            count += 1
            key = f"{mount.name} {count}"
        self.steps[key] = [self._step(step, f"{key} {i}") for i, step in enumerate(mount.steps)]
        self._known.append((mount, key))
        return key

    def _step(self, step: Step, name: str) -> dict[str, Any]:
        out: dict[str, Any] = {"kind": KINDS[step.kind], "motion": step.name}
        if step.kind == SWING:
            assert step.swing is not None
            out["swing"] = name
            self.swings[name] = {
                "low": step.swing.start,
                "high": step.swing.start + step.swing.travel,
                "knots": step.swing.knots.tolist(),
            }
        elif step.kind == SHIFT:
            out["axis"] = step.axis
        elif step.kind == TURN:
            out |= {"point": step.point, "axis": step.axis}
        else:
            out["point"] = step.point
        return out


def _part(
    name: str, group: str, mount: str, facts: list[tuple[str, str]], colour: str, texts: Texts
) -> dict[str, Any]:
    return {
        "name": name,
        "title": texts.part(name),
        "group": group,
        "mount": mount,
        "facts": facts,
        "colour": colour,
    }


def _look(piece: Piece) -> dict[str, Any]:
    """Return what the viewer draws in place of an outline: a node, and its motion by columns."""
    look = {
        "node": piece.key,
        "colour": piece.colour,
        "finish": piece.finish,
        "at": np.round(own_matrix(piece.on).T.ravel(), 6).tolist(),
    }
    return look | {"drops": True} if piece.drops else look


def _group(body: Body, texts: Texts) -> str:
    if body.family.startswith("bottle_"):
        return "bottles"
    return body.family if texts.get(f"group.{body.family}") is not None else "other"


def _motion(scene: Scene, name: str, low: float, high: float) -> dict[str, Any]:
    return {
        "name": name,
        "low": low,
        "high": high,
        "drawn": scene.drawn.get(name, 0.0),
        "unit": _unit(name),
        "sag": sags(scene).get(name),
    }


def _unit(motion: str) -> str:
    return "mm" if motion in TRAVELS else "°"


def _track(scene: Scene, track: GapTrack | None) -> dict[str, Any] | None:
    if track is None:
        return None
    return {
        "motion": track.motion,
        "drawn": scene.drawn.get(track.motion, 0.0),
        "unit": _unit(track.motion),
        "values": track.values,
        "gaps": [round(gap, 4) for gap in track.gaps],
        "points": [[[round(x, 3) for x in p] for p in pair] for pair in track.points],
    }
