"""The bare script: the demo's solids by the same booleans in cadquery alone, STEP and STL written.

    python -m tests.benchmarks.bare_cadquery RECIPE OUT [--fuse]

Nothing of frame3d is imported. With --fuse the STL is of the parts fused into one solid, without it of
the parts as they are. Prints seconds by stage as JSON.
"""

from __future__ import annotations

import json
import sys
import time

BEGIN = time.perf_counter()

import cadquery as cq  # noqa: E402
from cadquery.occ_impl import shapes as f  # noqa: E402

IMPORTED = time.perf_counter()


def add(a, d, s):
    return cq.Vector(*a) + cq.Vector(*d) * s


def turned(sweep, bore=None):
    """A full turn of the profile."""
    first = sweep["frames"][repr(min(sweep["s"]))]
    profile = [(s, d / 2) for s, d in zip(sweep["s"], sweep["height"], strict=True)]
    if bore is None:
        profile += [(sweep["s"][-1], 0.0), (0.0, 0.0)]
    else:
        profile += [(s, d / 2) for s, d in zip(bore["s"], bore["height"], strict=True)][::-1]
    points = [add(add(sweep["start"], first["along"], s), first["up"], r) for s, r in profile]
    outline = f.polyline(*points, points[0])
    end = add(sweep["start"], first["along"], 1.0)
    axis = (cq.Vector(*sweep["start"]), end - cq.Vector(*sweep["start"]))
    return f.revolve(f.face(outline), *axis, 360).Solids()[0]


def between(sweep, key, s):
    places, sizes = sweep["s"], sweep[key]
    for a, b, x, y in zip(places, places[1:], sizes, sizes[1:], strict=False):
        if a <= s <= b and b > a:
            return x + (y - x) * (s - a) / (b - a)
    return sizes[-1]


def ring(sweep, s):
    """The section at `s`: a circle or an ellipse, seam up."""
    frame = sweep["frames"][repr(s)]
    h, w = between(sweep, "height", s), between(sweep, "width", s)
    at, along, up, side = (cq.Vector(*frame[k]) for k in ("at", "along", "up", "side"))
    if abs(h - w) < 1e-9:
        return cq.Wire.assembleEdges([cq.Edge.makeCircle(h / 2, at, along)])
    tall = h > w
    edge = cq.Edge.makeEllipse(
        max(h, w) / 2, min(h, w) / 2, at, along, up if tall else side, angle1=0, angle2=360
    )
    return cq.Wire.assembleEdges([edge])


def sides(sweep):
    """Faces leg by leg, and the rings at both ends."""
    marks = sorted({*sweep["s"], *(x for arc in sweep["arcs"] for x in arc), sweep["length"]})
    marks = [m for i, m in enumerate(marks) if i == 0 or m - marks[i - 1] > 1e-6]
    marks = [min(sweep["frames"], key=lambda k, m=m: abs(float(k) - m)) for m in marks]
    marks = [float(m) for m in marks]
    rings = [ring(sweep, m) for m in marks]
    faces = []
    for a, b, one, two in zip(marks, marks[1:], rings, rings[1:], strict=False):
        bent = any(low - 1e-6 <= a and b <= high + 1e-6 for low, high in sweep["arcs"])
        if bent:
            middle = min(sweep["frames"], key=lambda k, m=(a + b) / 2: abs(float(k) - m))
            at = [sweep["frames"][k]["at"] for k in (repr(a), middle, repr(b))]
            path = cq.Wire.assembleEdges([cq.Edge.makeThreePointArc(*(cq.Vector(*p) for p in at))])
            faces += cq.Solid.sweep_multi([one, two], path, makeSolid=False).Faces()
        else:
            faces += f.loft([one, two], cap=False, ruled=True).Faces()
    return faces, rings[0], rings[-1]


def block(sweep):
    """A tapering block with rectangular ends."""
    wires = []
    for s, h, w in zip(sweep["s"], sweep["height"], sweep["width"], strict=True):
        frame = sweep["frames"][repr(s)]
        corners = [
            add(add(frame["at"], frame["side"], x * w / 2), frame["up"], y * h / 2)
            for x, y in ((1, 1), (-1, 1), (-1, -1), (1, -1))
        ]
        wires.append(f.polyline(*corners, corners[0]))
    return f.loft(wires, cap=True, ruled=True)


def filled(sweep):
    round_ = sweep["height"] == sweep["width"]
    if sweep["box"]:
        return block(sweep)
    if sweep["straight"] and round_:
        return turned(sweep)
    faces, first, last = sides(sweep)
    return f.solid(*faces, f.face(first), f.face(last), tol=1e-5)


def hollow(sweep, bore):
    if sweep["straight"] and sweep["height"] == sweep["width"] and bore["height"] == bore["width"]:
        return turned(sweep, bore)
    outer, first, last = sides(sweep)
    inner, hole_a, hole_b = sides(bore)
    caps = [cq.Face.makeFromWires(first, [hole_a]), cq.Face.makeFromWires(last, [hole_b])]
    return f.solid(*outer, *inner, *caps, tol=1e-5)


def largest(shape):
    solids = shape.Solids()
    return solids[0] if len(solids) == 1 else max(solids, key=lambda s: s.Volume())


def made(part, parts, shop):
    if part["mirror_of"] is not None:
        return parts[part["mirror_of"]].mirror("XZ")

    def get(sweep):
        key = json.dumps(sweep)
        if key not in shop:
            shop[key] = filled(sweep)
        return shop[key]

    if part["bore"] is not None:
        shape = hollow(part["metal"][0], part["bore"])
    else:
        metal = [get(s) for s in part["metal"]]
        shape = metal[0].fuse(*metal[1:]) if len(metal) > 1 else metal[0]
    for tools in (part["cuts"], part["holes"]):
        if tools:
            shape = shape.cut(*(get(s) for s in tools))
        shape = largest(shape)
    return shape


def main(recipe, out, fuse):
    times = {"import cadquery": IMPORTED - BEGIN}

    def stage(name, begin):
        times[name] = time.perf_counter() - begin

    begin = time.perf_counter()
    with open(recipe, encoding="utf-8") as file:
        todo = json.load(file)
    parts, shop = {}, {}
    for part in todo:
        parts[part["name"]] = made(part, parts, shop)
    stage("solids", begin)

    begin = time.perf_counter()
    assembly = cq.Assembly(name="frame")
    for part in todo:
        assembly.add(parts[part["name"]], name=part["name"], color=cq.Color(part["colour"]))
    assembly.export(f"{out}/bare.step")
    stage("STEP", begin)

    whole = cq.Compound.makeCompound(list(parts.values()))
    if fuse:
        begin = time.perf_counter()
        first, *rest = parts.values()
        whole = first.fuse(*rest, glue=True)
        stage("fuse", begin)
    begin = time.perf_counter()
    whole.exportStl(f"{out}/bare.stl", tolerance=0.05, angularTolerance=0.2)
    stage("STL", begin)
    times["volume of parts"] = sum(s.Volume() for s in parts.values())
    print(json.dumps(times))


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], "--fuse" in sys.argv)
