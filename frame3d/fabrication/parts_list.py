"""The list of parts that the frame needs besides its tubes, with the sizes that the file gives."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from frame3d.bike.bike import Bike
from frame3d.bike.seatpost import seatpost_of
from frame3d.fabrication.lists import csv_bytes
from frame3d.fabrication.tube_facts import TubeFacts, plain
from frame3d.paper import page_elements
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import Sheet
from frame3d.parameters.models.parts import BuildSpec, HubSpec
from frame3d.parameters.sizes import standards
from frame3d.tubes.hardware import Housing, Lug
from frame3d.tubes.tube import Shell


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the list."""

    what: str
    count: int
    size: str
    standard: str = ""
    note: str = ""
    kind: str = ""
    """What tells it from other parts of its size, such as its travel; the note says it too."""
    is_tube: bool = False
    """Whether the cut list has it too."""


def items_of(bike: Bike, facts: Sequence[TubeFacts]) -> list[Item]:
    """Return all parts for which the file gives a size."""
    return [
        *_frame(bike, facts),
        *_cockpit_end(bike),
        *_rear(bike),
        *_pivots(bike),
    ]


def parts_csv(items: Sequence[Item]) -> bytes:
    """Return the list as CSV."""
    head = ("item", "count", "size", "standard", "note")
    return csv_bytes(head, [(i.what, str(i.count), i.size, i.standard, i.note) for i in items])


def parts_sheet(bike: Bike, items: Sequence[Item], paper: Paper) -> Sheet:
    """Return the list on one sheet."""
    sheet = Sheet("parts_list", f"{bike.spec.title}: parts list", paper.width, paper.height)
    top = page_elements.heading(
        sheet,
        "Parts list",
        bike.spec.title,
        "what the frame needs besides its tubes, in mm",
        (f"{len(items)} items",),
    )
    width = sheet.width - 2 * MARGIN
    shares = (
        ("Item", 39, "left"), ("No.", 9, "right"), ("Size", 58, "left"), ("Standard", 21, "left"),
        ("Note", 65, "left"),
    )  # fmt: skip
    scale = width / sum(share for _, share, _ in shares)
    columns = [Column(title, share * scale, align) for title, share, align in shares]
    rows = [(i.what, str(i.count), i.size, i.standard, i.note) for i in items]
    step = min(5.0, (top - 26.0) / (len(rows) + 2))
    low = page_elements.table(sheet, MARGIN, top - 3.0, columns, rows, step=step, size=step * 0.54)
    sheet.text(
        (MARGIN, low - 5.0), "The drawing of the part in hand goes before any size here.", 2.5
    )
    page_elements.caution(sheet)
    return sheet


def _frame(bike: Bike, facts: Sequence[TubeFacts]) -> Iterator[Item]:
    shell = bike.shell
    if shell is not None:
        known = standards.SHELLS.get(shell.name)
        thread = known.thread if known is not None else ""
        yield Item(
            "bottom bracket shell", 1,
            f"{shell.width:g} wide{_lopsided(shell)}, {shell.od:g} outside, bore {shell.bore:g}",
            shell.name if known is not None else "", thread or "bore as given",
        )  # fmt: skip
        yield Item(
            "bottom bracket", 1, f"for a shell {shell.width:g} wide, bore {shell.bore:g}",
            shell.name if known is not None else "", "to suit the crank's axle",
        )  # fmt: skip
    for one in facts:
        tube = one.tube
        if tube.key.endswith("bridge"):
            size = f"{tube.section.height[0]:g} × {one.long_to_long:z.1f} cut"
            yield Item(plain(tube.name), 1, size, "", "in the cut list", is_tube=True)
    if bike.dropouts:
        first = bike.dropouts[0]
        yield Item(
            "rear dropout", len(bike.dropouts),
            f"plate {first.thickness:g}, boss {first.boss:g}, axle bore {first.bore:g}", "",
            "left and right",
        )  # fmt: skip


def _seats(cup: standards.Cup, lower: bool) -> str:
    """Return in words the seat of an integrated bearing, and the fork's crown seat of a lower cup."""
    said = []
    if cup.contact is not None:
        said.append("bearing seat {:g}° in the head tube, {:g}° inside".format(*cup.contact))
    if lower and cup.fits is not None:
        said.append(f"crown seat {standards.CROWN_SEATS[cup.fits]:g}")
    return "; ".join(said)


def _lopsided(shell: Shell) -> str:
    """Return in words how far the shell extends to either side, if that differs."""
    right, left = shell.faces
    return f" ({-right:g} right, {left:g} left)" if shell.middle else ""


def _cockpit_end(bike: Bike) -> Iterator[Item]:
    build = bike.spec.build
    head = next((t for t in bike.tubes if t.key == "head_tube"), None)
    if head is not None:
        low, high = head.section.height[0], head.section.height[-1]
        size = f"{low:g}" if low == high else f"{low:g} bottom, {high:g} top"
        codes = [bore.code for bore in bike.bores if bore.tube == head.name]
        yield Item(
            "head tube", 1, f"{size} outside, {head.axis.length:z.1f} long", " | ".join(codes),
            "face and ream after joining", is_tube=True,
        )  # fmt: skip
    yield from _headset(build)
    if build.bumper is not None:
        yield Item("fork bumper", 1, f"on {plain(build.bumper.on)}, meets the fork's crown at "
                   f"{build.bumper.stop:g}°", "", "to each side; clearances hold up to it")  # fmt: skip
    fork = build.fork
    if fork is not None and fork.axle_to_crown is not None:
        how = "straight" if fork.measured == "straight" else "along the axis"
        size = f"axle to crown {fork.axle_to_crown:g} ({how})"
        if fork.offset is not None:
            size += f", offset {fork.offset:g}"
        kind = "rigid" if fork.rigid else _travel(fork.travel)
        yield Item("fork", 1, size, "", kind, kind)
    if build.front_wheel is not None and build.front_wheel.hub is not None:
        yield _hub("front hub", build.front_wheel.hub)
    post = build.seatpost
    if post is not None and post.diameter is not None:
        seat = next((t for t in bike.tubes if t.key == "seat_tube"), None)
        kind = _travel(post.travel)
        yield Item("seatpost", 1, f"{post.diameter:g}", "", _post_note(bike), kind)
        if seat is not None:
            yield Item("seat clamp", 1, f"on {seat.section.height[-1]:g}")


def _headset(build: BuildSpec) -> Iterator[Item]:
    """Cups, their angle, a steering stop."""
    if build.headset is not None:
        for name, code in (("upper", build.headset.upper), ("lower", build.headset.lower)):
            if isinstance(code, str):
                cup = standards.cup(code)
                a, b = cup.finished
                yield Item(f"headset, {name} cup", 1, f"ream {a:z.2f} to {b:z.2f}, {cup.depth:g} deep",
                           code, _seats(cup, name == "lower"))  # fmt: skip
            elif code is not None:
                yield Item(f"headset, {name} cup", 1, f"bore {code.bore:g}, {code.depth:g} deep")
        if build.headset.angle:
            yield Item("headset, angle", 1, f"{build.headset.angle:g}° cups")
        if build.headset.stop is not None:
            yield Item("headset, steering stop", 1, f"{build.headset.stop:g}° to each side", "",
                       "clearances hold up to it")  # fmt: skip


def _travel(travel: float) -> str:
    """Return the travel in words; empty without travel."""
    return f"{travel:g} travel" if travel else ""


def _post_note(bike: Bike) -> str:
    """Return travel, reamed depth and largest insertion of the post in words."""
    post = seatpost_of(bike)
    assert post is not None
    said = [_travel(post.travel)] if post.travel else []
    said += [f"ream {bore.depth:.0f} deep" for bore in bike.bores if bore.tube == "seat_tube"]
    if post.deepest_insertion is not None:
        said.append(f"insert {post.least_insertion:.0f} to {max(post.deepest_insertion, 0.0):.0f}")
    return ", ".join(said)


def _rear(bike: Bike) -> Iterator[Item]:
    build = bike.spec.build
    wheel = build.rear_wheel
    if wheel is not None and wheel.hub is not None:
        yield _hub("rear hub", wheel.hub)
    if wheel is not None and wheel.rotor is not None and build.rear_brake is not None:
        yield Item("rear brake", 1, f"rotor {wheel.rotor:g}", "", "mount to the caliper's drawing")
    if build.crank is not None:
        crank = build.crank
        size = f"length {crank.length:g}"
        yield Item("crank", 1, size + _chainline(crank))
    if build.chainring is not None:
        teeth = getattr(build.chainring, "teeth", None)
        if teeth is not None:
            yield Item("chainring", 1, f"{teeth} teeth")
    if build.bottles:
        yield Item("bottle bosses", 2 * len(build.bottles), "M5, pairs 64 apart", "",
                   "common practice, no source")  # fmt: skip


def _chainline(crank: object) -> str:
    line = getattr(crank, "chainline", None)
    return "" if line is None else f", chainline {line:g}"


def _pivots(bike: Bike) -> Iterator[Item]:
    suspension = bike.spec.suspension
    if suspension is not None:
        shock = suspension.shock
        yield Item(
            "rear shock", 1, f"{shock.length:g} × {shock.full_stroke:g}",
            shock.size if shock.size is not None else "",
            f"eyes {shock.eye_width:g} wide", f"eyes {shock.eye_width:g} wide",
        )  # fmt: skip
    counts: dict[tuple[str, str], int] = {}
    for item in bike.pivots:
        if isinstance(item, Housing):
            size = f"{item.width:z.1f} wide, {item.od:g} outside, axle bore {item.bore:g}"
            if item.seat is not None:
                size += (
                    f", bearing seats {item.seat.diameter:g} × {item.seat.depth:g} at both faces"
                )
        elif isinstance(item, Lug):
            given = None if suspension is None else suspension.pivots.get(item.pivot)
            bearing = None if given is None else given.bearing
            kind = "bearing seat" if bearing and bearing.od == item.bore else "axle bore"
            size = f"{item.thickness:g} thick, {item.boss:g} outside, {kind} {item.bore:g}"
        else:
            bores = sorted({boss.bore for boss in item.bosses if boss.bore})
            size = f"{len(item.bosses)} bosses, bores {', '.join(f'{bore:g}' for bore in bores)}"
        name = plain(item.name.removesuffix("_left").removesuffix("_right"))
        counts[(name, size)] = counts.get((name, size), 0) + 1
    for (name, size), count in counts.items():
        yield Item(name, count, size, "", "left and right" if count == 2 else "")
    pivots = {} if suspension is None else suspension.pivots
    for point, pivot in pivots.items():
        if pivot.bearing is not None:
            size = f"{pivot.bearing.od:g} outside, {pivot.bearing.width:g} wide"
            yield Item("bearing", 2, size, "", f"in the housing of {plain(point)}")


def _hub(what: str, given: str | HubSpec) -> Item:
    if isinstance(given, HubSpec):
        return Item(what, 1, f"{given.width:g} wide, axle {given.axle:g}")
    hub = standards.hub(given)
    return Item(what, 1, f"{hub.width:g} wide, axle {hub.axle:g}", hub.name, hub.note)
