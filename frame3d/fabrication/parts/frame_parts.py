"""Parts of the frame itself: shell, bridges, dropouts, head tube, plates, bumper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from frame3d.bike.bike import Bike
from frame3d.bike.mass_model import SEAT_COLLAR
from frame3d.fabrication.on_tubes.on_dropouts import mount_of
from frame3d.fabrication.parts.item import Item
from frame3d.fabrication.tube_facts import TubeFacts, plain
from frame3d.parameters.sizes import standards
from frame3d.plates.flat_parts import flat_parts_of
from frame3d.tubes import seats
from frame3d.tubes.features.collar import collar_in, collar_of
from frame3d.tubes.hardware import SHELL
from frame3d.tubes.placing.fittings import POST_PLAY
from frame3d.tubes.post_depth import MARK, least_insertion
from frame3d.tubes.tube import Shell


def frame_parts(bike: Bike, facts: Sequence[TubeFacts]) -> Iterator[Item]:
    """Yield what is joined to the frame, and what it holds without a wheel or a fork."""
    yield from _shell(bike)
    for one in facts:
        tube = one.tube
        if tube.key.endswith("bridge"):
            size = f"{tube.section.height[0]:g} × {one.long_to_long:z.1f} cut"
            yield Item(
                plain(tube.name), 1, size, "", "in the cut list", is_tube=True,
                material=tube.material, weighs=(tube.name,),
            )  # fmt: skip
    yield from _dropouts(bike)
    yield from _plates(bike)
    yield from _head_tube(bike)
    yield from _seat_tube(bike)
    bumper = bike.spec.build.bumper
    if bumper is not None:
        yield Item("fork bumper", 1, f"on {plain(bumper.on)}, meets the fork's crown at "
                   f"{bumper.stop:g}°", "", "to each side; clearances hold up to it")  # fmt: skip
    for name, body in bike.spec.build.bodies.items():
        yield Item(plain(name), 1, f"{body.kind} as the file outlines it", "", "body of its own")


def metal(bike: Bike) -> str:
    """Return the name of the material of the whole frame, where a part does not say otherwise."""
    given = bike.spec.material
    return given if isinstance(given, str) else given.name


def _shell(bike: Bike) -> Iterator[Item]:
    shell = bike.shell
    if shell is None:
        return
    known = standards.SHELLS.get(shell.name)
    thread = known.thread if known is not None else ""
    standard = shell.name if known is not None else ""
    yield Item(
        "bottom bracket shell", 1,
        f"{shell.width:g} wide{_lopsided(shell)}, {shell.od:g} outside, bore {shell.bore:g}",
        standard, thread or "bore as given", material=metal(bike), weighs=(SHELL,),
    )  # fmt: skip
    given = bike.spec.build.bottom_bracket
    if given is not None and given.eccentric is not None:
        insert, held = given.eccentric, given.held
        yield Item(
            "eccentric insert", 1,
            f"{shell.bore:g} outside, {insert.offset:g} off its middle, for {shell.width:g} wide, bore "
            f"{held.bore:g}",
            held.name, held.thread or "bore as given", group="drivetrain",
        )  # fmt: skip
        yield Item(
            "bottom bracket", 1, f"for the insert, bore {held.bore:g}", held.name,
            "to suit the crank's axle", group="drivetrain",
        )  # fmt: skip
        return
    yield Item(
        "bottom bracket", 1, f"for a shell {shell.width:g} wide, bore {shell.bore:g}",
        standard, "to suit the crank's axle", group="drivetrain",
    )  # fmt: skip


def _lopsided(shell: Shell) -> str:
    """Return in words how far the shell extends to either side, if that differs."""
    right, left = shell.faces
    return f" ({-right:g} right, {left:g} left)" if shell.middle else ""


def _plates(bike: Bike) -> Iterator[Item]:
    """Gussets, tabs and other flat parts of the file."""
    for part in flat_parts_of(bike.frame):
        if part.kind in ("link plate", "dropout", "pivot_tab"):
            continue
        left, bottom, right, top = part.outline.bounds
        holes = len(part.outline.holes)
        yield Item(
            plain(part.name), part.count,
            f"{right - left:z.1f} × {top - bottom:z.1f}, {part.thickness:g} thick"
            + (f", {holes} hole{'s' * (holes > 1)}" if holes else ""),
            "", "left and right" if part.count == 2 else part.kind if part.kind != "path" else "plate",
            material=part.material, weighs=part.names,
        )  # fmt: skip


def _mount(bike: Bike) -> Iterator[Item]:
    """Blocks of a brake mount on a dropout, and their bolts."""
    found = mount_of(bike)
    if found is None:
        return
    mount = found[1]
    first = mount.blocks[0]
    bored = f"bored {first.hole:g}" if first.through else f"{first.depth:g} deep"
    size = f"{first.outer - first.inner:.1f} × {first.width:g} × {first.length:g}"
    yield Item(
        "brake block", len(mount.blocks), f"{mount.thread}, {bored}, {size}", "",
        f"{plain(mount.name)} on left dropout", material=metal(bike),
        weighs=tuple(one.name for one in mount.blocks),
    )  # fmt: skip
    yield Item(
        f"{plain(mount.kind)} bolts", len(mount.blocks), mount.thread, "",
        "length to the caliper's drawing",
    )  # fmt: skip


def _dropouts(bike: Bike) -> Iterator[Item]:
    """Dropouts, and the hanger where a derailleur hangs on them."""
    if not bike.dropouts:
        return
    first, cassette = bike.dropouts[0], bike.spec.build.cassette
    flat = first.plate is not None
    axle = "axle bore" if first.slide is None else "axle slot"
    yield Item(
        "rear dropout", len(bike.dropouts),
        f"plate {first.thickness:g}, boss {first.boss:g}, {axle} {first.bore:g}", "",
        "left and right, with hoods for the stays" if flat else "left and right",
        material=metal(bike),
        weighs=tuple(one.name for one in bike.dropouts) if flat else ("dropouts",),
    )  # fmt: skip
    yield from _mount(bike)
    if first.slide is not None and first.slide.stop is not None:
        yield Item("stop bolt", 2, first.slide.stop_thread, "", "in the dropouts' slots")
    given = None if bike.spec.build.dropout is None else bike.spec.build.dropout.hanger
    if given is not None and given.kind == "bolted":
        yield Item("hanger bolt", 2, f"for holes of {given.bolt:g}")
    if given is not None and given.kind != "around_axle":
        return  # on the plate, or a plate of its own
    if cassette is not None and len(cassette.cogs) > 1:
        yield Item("derailleur hanger", 1, f"on the right dropout, axle {first.bore:g}", "",
                   "as the dropout's drawing asks")  # fmt: skip


def _head_tube(bike: Bike) -> Iterator[Item]:
    head = next((t for t in bike.tubes if t.key == "head_tube"), None)
    if head is None:
        return
    low, high = head.section.height[0], head.section.height[-1]
    size = f"{low:g}" if low == high else f"{low:g} bottom, {high:g} top"
    codes = [bore.code for bore in bike.bores if bore.tube == head.name]
    yield Item(
        "head tube", 1, f"{size} outside, {head.axis.length:z.1f} long", " | ".join(codes),
        "face and ream after joining", is_tube=True, material=head.material, weighs=(head.name,),
    )  # fmt: skip


def _collar(bike: Bike) -> Iterator[Item]:
    """The collar that the file gives."""
    feature = collar_in(bike.frame.features)
    if feature is None:
        return
    made = collar_of(feature, next(t for t in bike.tubes if t.name == feature.tube))
    yield Item(
        "seat collar", 1,
        f"bore {made.bore:g}, {made.outside:g} outside, {made.length:g} high, screw "
        f"{feature.spec.thread or 'M5'}",
        "", "on the seat tube's top", weighs=(SEAT_COLLAR,),
    )  # fmt: skip


def _seat_tube(bike: Bike) -> Iterator[Item]:
    """Seat clamp, and a shim where the post is loose in the tube."""
    post = bike.spec.build.seatpost
    seat = next((t for t in bike.tubes if t.key == "seat_tube"), None)
    yield from _collar(bike)
    if seat is None or post is None or post.diameter is None:
        return
    own = collar_in(bike.frame.features)
    if own is None:
        yield Item("seat clamp", 1, f"on {seat.section.height[-1]:g}")
    length = seat.axis.length
    inside = seats.widest(seat, length, length)[0]
    if inside > post.diameter + POST_PLAY + seats.EXACT:
        least = least_insertion(post)
        deep = MARK * post.diameter if least is None else least
        yield Item("seatpost shim", 1, f"{post.diameter:g} inside, {inside:g} outside, at least "
                   f"{deep:.0f} long", "", "common practice, no source")  # fmt: skip
