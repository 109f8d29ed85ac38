"""The steps of the bench order, from the saw to the reamer."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bike.built_fork.layout import hub_of, layout_of
from frame3d.fabrication.bench.joints import FORK, FRONT, WHOLE, Joint, spread
from frame3d.fabrication.bench.on_dropouts import finished, stood
from frame3d.fabrication.bench.on_tubes import after_joining, before_joining, faces, slots, threads
from frame3d.fabrication.bench.words import (
    AFTER,
    BEFORE,
    BONDED,
    JOIN,
    OTHER,
    PRACTICE,
    RUNS,
    SENSITIVE,
    TACK,
)
from frame3d.fabrication.on_tubes.marks import Mark, marks_of
from frame3d.fabrication.on_tubes.on_dropouts import DropoutMark, dropout_marks
from frame3d.fabrication.parts.frame_parts import metal
from frame3d.fabrication.tube_facts import TubeFacts, plain
from frame3d.geometry.centreline import Arc
from frame3d.geometry.vector import vector
from frame3d.parameters.models.shop.bench import Process
from frame3d.parameters.sizes import standards
from frame3d.parameters.sizes.materials import FAMILIES
from frame3d.tubes.cuts.vents import vents
from frame3d.tubes.hardware import FORK_DROPOUT, RACE_SEAT, Housing, Lug

OWN = "bench.order of the file"
GIVEN = "the file's sizes"


@dataclass(frozen=True, slots=True)
class Step:
    """One step, with a box to sign."""

    phase: str
    what: str
    size: str = ""
    """Sizes and tools, in words."""
    standing: str = PRACTICE
    """Where the step, or its place in the order, is from."""


def steps_of(bike: Bike, facts: Sequence[TubeFacts], joints: Sequence[Joint]) -> list[Step]:
    """Return all steps in their order.

    Args:
        bike: the bike.
        facts: of all its tubes.
        joints: in the order in which they are tacked; assemblies may stand in any order.
    """
    bench = bike.frame.spec.bench
    is_own = bench is not None and bool(bench.order)
    marks = marks_of(bike, facts)
    on_dropouts = dropout_marks(bike, marks)
    return [
        *_tubes(facts),
        *(Step(*line) for line in before_joining(marks, _process(bike))),
        *(() if bike.fork is None else _fork_tubes(bike.fork)),
        *_vents(bike),
        *(() if bike.fork is None else _vents(bike.fork)),
        *_clean(bike),
        *_joined(bike, joints, is_own=is_own),
        *(Step(*line) for line in after_joining(marks, _process(bike))),
        *(Step(*line) for line in stood(on_dropouts, _process(bike))),
        *_cooled(bike),
        *(() if bike.fork is None else _fork_finished(bike)),
        *_finished(bike, marks, on_dropouts),
    ]


def families_of(bike: Bike) -> list[str]:
    """Return the families of the materials of the frame, or its own materials' names."""
    fork = () if bike.fork is None else bike.fork.tubes
    names = dict.fromkeys([*(tube.material for tube in (*bike.tubes, *fork)), metal(bike)])
    return list(dict.fromkeys(FAMILIES.get(name, name) for name in names))


def _tubes(facts: Sequence[TubeFacts]) -> Iterator[Step]:
    """Cut, bend, mitre: a step for each tube, left and right together."""
    by_key: dict[str, list[TubeFacts]] = {}
    for one in facts:
        by_key.setdefault(one.tube.key, []).append(one)
    for key, ones in by_key.items():
        first = ones[0]
        count = f"{len(ones)} × " if len(ones) > 1 else ""
        bent = any(isinstance(piece, Arc) for piece in first.tube.axis.pieces)
        does = "cut, bend, mitre, deburr" if bent else "cut, mitre, deburr"
        table = ", bend table" if bent else ""
        yield Step(
            "Tubes", f"{plain(key)}: {does} inside and out, try on its neighbours",
            f"{count}{first.stock:z.0f} stock, {first.long_to_long:z.1f} cut; template{table}", GIVEN,
        )  # fmt: skip


def _vents(bike: Bike) -> Iterator[Step]:
    """Drill the vents: left and right together, each by the tube's end that it is nearest to."""
    places: dict[tuple[str, str], list[float]] = {}
    for vent in vents(bike.frame):
        middle = vent.hole.axis.points(np.array([vent.hole.axis.length / 2]))[0]
        _, tube, which = min(
            (float(np.linalg.norm(vector(end.point) - middle)), tube.key, which)
            for tube in bike.tubes
            for which, end in (("start", tube.start), ("end", tube.end))
        )
        through = " and ".join(dict.fromkeys(_both(name) for name in vent.bodies))
        key = (f"{which} of the {plain(tube)}", through)
        places.setdefault(key, []).append(vent.hole.diameter)
    for (where, through), holes in places.items():
        count = f"{len(holes)} × " if len(holes) > 1 else ""
        yield Step("Vents", f"drill the vent at the {where}, through {through}; deburr",
                   f"{count}{holes[0]:g} mm")  # fmt: skip


def _fork_tubes(fork: Bike) -> Iterator[Step]:
    """Slots of a built fork's blades, and its race seat."""
    plate = next(plate for plate in fork.plates if plate.key == FORK_DROPOUT)
    deep = max(x for x, _ in plate.outline.outer.points(0.1).tolist())
    blade = fork.tube("fork_blade_left")
    end = math.dist(blade.axis.end, plate.plane.at((0.0, 0.0), 0.0))
    if deep > end + 0.1:
        yield Step("Tubes", "slot the fork blades' lower ends for the dropouts, in the side view",
                   f"2 × {plate.thickness:g} wide, {deep - end:.1f} deep", GIVEN)  # fmt: skip
    ring = next((tube for tube in fork.tubes if tube.key == RACE_SEAT), None)
    if ring is not None:
        yield Step("Tubes", "turn the fork's race seat",
                   f"bore {ring.section.height[0] - 2 * ring.section.wall[0]:g}, seat "
                   f"{ring.section.height[-1]:g}, shoulder {ring.section.height[0]:g}, "
                   f"{ring.axis.length:g} long", GIVEN)  # fmt: skip


def _fork_finished(bike: Bike) -> Iterator[Step]:
    """Yield what is machined on a built fork once it is cold."""
    phase, fork = "Reaming and facing", bike.fork
    assert fork is not None
    layout, hub = layout_of(bike.spec, bike.nodes, bike.chart), hub_of(bike.spec)
    yield Step(phase, "turn or face the fork's race seat and shoulder", f"{layout.seat:g}", GIVEN)
    yield Step(phase, "align the fork's dropouts, faces parallel, axle through both",
               f"{hub.width:g} apart, bore {hub.axle:g}", GIVEN)  # fmt: skip
    posts = [tube for tube in fork.tubes if tube.key.startswith("fork_post")]
    if posts:
        bore = posts[0].section.height[0] - 2 * posts[0].section.wall[0]
        yield Step(phase, "tap and face the fork's brake posts", f"drilled {bore:g}", GIVEN)
    wheel = bike.spec.build.front_wheel
    if wheel is not None and wheel.axle_thread is not None:
        yield Step(phase, "tap the fork's dropout for its axle", wheel.axle_thread, GIVEN)


def _both(name: str) -> str:
    """Return a body's name in words without its side."""
    return plain(name.removesuffix("_left").removesuffix("_right"))


def _clean(bike: Bike) -> Iterator[Step]:
    if _process(bike) == "bonded":
        yield Step("Before bonding", BONDED[0])
        yield Step(
            "Before bonding", "set the fixture and check its settings", "fixture sheet", GIVEN
        )
        return
    for family in families_of(bike):
        yield Step("Before heat", BEFORE.get(family, OTHER.format(name=family)))
    yield Step("Before heat", SENSITIVE)
    yield Step("Before heat", "set the fixture and check its settings", "fixture sheet", GIVEN)


def _process(bike: Bike) -> Process | None:
    bench = bike.frame.spec.bench
    return None if bench is None else bench.process


def _joined(bike: Bike, joints: Sequence[Joint], *, is_own: bool) -> Iterator[Step]:
    """Tack, check and join one assembly after the other."""
    process = _process(bike)
    fork = () if bike.fork is None else bike.fork.tubes
    pairs = {tube.key for tube in (*bike.tubes, *fork) if tube.side is not None}
    for assembly in dict.fromkeys(joint.assembly for joint in joints):
        own = [joint for joint in joints if joint.assembly == assembly]
        name = assembly[0].upper() + assembly[1:]
        standing = OWN if is_own else f"build order of the tubes; {PRACTICE}"
        rear = next((i for i, joint in enumerate(own) if joint.names & pairs), 0)
        for i, joint in enumerate(own):
            if i == rear and i > 0:
                rest = "blades" if assembly == FORK else "stays"
                yield _measured(assembly, f"tacked so far, before the {rest}")
            yield Step(f"{name}: tack", f"{TACK[process]} {joint.title}", _places(joint), standing)
        yield _measured(assembly, "tacked whole")
        phase = f"{name}: {JOIN[process].partition(' ')[0]}"
        if process != "bonded":
            yield Step(phase, RUNS)
        for joint in own if is_own else spread(own):
            place = OWN if is_own else f"heat spread out; {PRACTICE}"
            yield Step(phase, f"{JOIN[process]} {joint.title}", _places(joint), place)
        yield _measured(assembly, "out of the fixture" if process == "bonded" else "when cold")


def _places(joint: Joint) -> str:
    """Return how the joint is cut, and on which sides it is, in words."""
    sides = "left and right in turn" if joint.sides > 1 else ""
    return "; ".join(said for said in (joint.cut, sides) if said)


def _measured(assembly: str, when: str) -> Step:
    """Return the check of an assembly."""
    is_link = assembly not in (FRONT, WHOLE)
    sheet = "fixture sheet" if is_link else "diagonals and alignment of the fixture sheet"
    sheet = "fork sheet" if assembly == FORK else sheet
    name = assembly[0].upper() + assembly[1:]
    return Step(f"{name}: check", f"measure the {assembly}: {when}", sheet)


def _cooled(bike: Bike) -> Iterator[Step]:
    if _process(bike) == "bonded":
        yield Step("Curing", BONDED[1])
        return
    for family in families_of(bike):
        yield Step("Cooling", AFTER.get(family, OTHER.format(name=family)))
    yield Step("Cooling", "flux off, every joint looked at all round, vents and inside clean")


def _finished(
    bike: Bike, marks: Sequence[Mark], on_dropouts: Sequence[DropoutMark]
) -> Iterator[Step]:
    """Ream, face, tap; last what no heat may reach."""
    yield from _head_tube(bike)
    yield from (Step("Reaming and facing", *line) for line in slots(marks))
    for bore in bike.bores:
        if bore.tube == "seat_tube":
            yield Step("Reaming and facing", "ream the seat tube for its post; deburr the slot",
                       f"{bore.diameter:g}, {bore.depth:.0f} deep", GIVEN)  # fmt: skip
    shell = bike.shell
    if shell is not None:
        known = standards.SHELLS.get(shell.name)
        if known is not None and known.thread:
            yield Step("Reaming and facing", "chase the threads of the shell", known.thread, GIVEN)
        else:
            yield Step("Reaming and facing", "ream the shell, once cold", f"{shell.bore:g}", GIVEN)
        yield Step("Reaming and facing", "face the shell square on both sides",
                   f"{shell.width:g} wide", GIVEN)  # fmt: skip
        if shell.at != (0.0, 0.0):
            yield Step("Reaming and facing", "the insert goes in by hand and turns all the way",
                       f"{shell.bore:g}", GIVEN)  # fmt: skip
    if bike.dropouts:
        apart = abs(bike.dropouts[0].axle[1] - bike.dropouts[-1].axle[1])
        first = bike.dropouts[0]
        yield Step("Reaming and facing", "align the dropouts, faces parallel, axle through both",
                   f"{apart:g} apart, bore {first.bore:g}", GIVEN)  # fmt: skip
        wheel = bike.spec.build.rear_wheel
        if wheel is not None and wheel.axle_thread is not None:
            yield Step(
                "Reaming and facing", "tap the dropout for its axle", wheel.axle_thread, GIVEN
            )
    lines = (*faces(marks), *threads(marks), *finished(on_dropouts))
    yield from (Step("Reaming and facing", *line) for line in lines)
    yield from _pivots(bike)
    yield Step("Last", "weigh the bare frame, write down mass and number", "g, no.")
    yield Step("Last", "press in bearings, bushings and cups only now; see the parts list")


def _head_tube(bike: Bike) -> Iterator[Step]:
    headset = bike.spec.build.headset
    for bore in bike.bores:
        if bore.tube != "head_tube":
            continue
        which, name = ("lower", "bottom") if bore.at == "start" else ("upper", "top")
        code = None if headset is None else getattr(headset, which)
        size = f"{bore.diameter:g}"
        if isinstance(code, str):
            low, high = standards.cup(code).finished
            size = f"{low:z.2f} to {high:z.2f}"
        yield Step("Reaming and facing", f"ream and face the head tube's {name}",
                   f"{size}, {bore.depth:g} deep, {bore.code}", GIVEN)  # fmt: skip
    head = next((tube for tube in bike.tubes if tube.key == "head_tube"), None)
    if head is not None:
        yield Step("Reaming and facing", "measure the head tube over its faces",
                   f"{head.axis.length:z.1f} long", GIVEN)  # fmt: skip


def _pivots(bike: Bike) -> Iterator[Step]:
    """Bores and seats at the pivots, left and right together."""
    said: dict[tuple[str, str], None] = {}
    for item in bike.pivots:
        if isinstance(item, Housing):
            size = f"axle bore {item.bore:g}, {item.width:z.1f} over its faces"
            if item.seat is not None:
                size += f", seats {item.seat.diameter:g} × {item.seat.depth:g}"
        elif isinstance(item, Lug):
            size = f"bore {item.bore:g}, {item.thickness:g} thick"
        else:
            continue
        name = plain(item.name.removesuffix("_left").removesuffix("_right"))
        said.setdefault((name, size))
    for name, size in said:
        yield Step("Reaming and facing", f"bore and face {name} in line, once cold", size, GIVEN)
