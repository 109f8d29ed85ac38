"""Parts of the drivetrain, and of seat and cockpit."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.bike.bike import Bike
from frame3d.bike.seatpost import seatpost_of
from frame3d.fabrication.parts.front_parts import travel_text
from frame3d.fabrication.parts.item import Item


def drive_parts(bike: Bike) -> Iterator[Item]:
    """Yield cranks, rings, cogs, chain and what shifts it."""
    build = bike.spec.build
    crank, ring, cassette = build.crank, build.chainring, build.cassette
    if crank is not None:
        line = "" if crank.chainline is None else f", chainline {crank.chainline:g}"
        yield Item("crank", 1, f"length {crank.length:g}{line}", group="drivetrain",
                   weighs=("cranks",))  # fmt: skip
    if ring is not None:
        yield Item("chainring", 1, f"{ring.teeth} teeth", group="drivetrain", weighs=("chainring",))
        if ring.inner_teeth is not None:
            yield Item("chainring, inner", 1, f"{ring.inner_teeth} teeth", group="drivetrain")
        if ring.guard is not None:
            yield Item("chainring guard", 1, f"{ring.guard:g} across", group="drivetrain")
    if build.pedal is not None:
        size = f"{build.pedal.width:g} × {build.pedal.length:g}"
        yield Item("pedals", 1, size, "", "a pair", group="drivetrain", weighs=("pedals",))
    if cassette is not None:
        number, most = len(cassette.cogs), cassette.cogs[-1]
        cogs = f"{cassette.cogs[0]} to {most} teeth" if number > 1 else f"{most} teeth"
        yield Item("cassette", 1, f"{number} cog{'s' * (number > 1)}, {cogs}", group="drivetrain",
                   weighs=("cassette",))  # fmt: skip
        if ring is not None:
            yield Item("chain", 1, f"for {number} cog{'s' * (number > 1)}", group="drivetrain")
        if number > 1:
            more = 0 if ring is None or ring.inner_teeth is None else ring.teeth - ring.inner_teeth
            takes = most - cassette.cogs[0] + more
            yield Item("rear derailleur", 1, f"{number} cogs up to {most} teeth, takes up {takes}",
                       "", "mass with the chain", group="drivetrain",
                       weighs=("derailleur and chain",))  # fmt: skip
            yield Item("shift lever", 1, f"{number} cogs", group="drivetrain")
    if ring is not None and ring.inner_teeth is not None:
        size = f"{ring.inner_teeth} and {ring.teeth} teeth"
        yield Item("front derailleur", 1, size, "", "with its lever", group="drivetrain")


def seat_and_cockpit_parts(bike: Bike) -> Iterator[Item]:
    """Yield post and saddle, stem and bar."""
    build = bike.spec.build
    post, stem, bar = build.seatpost, build.stem, build.handlebar
    if post is not None and post.diameter is not None:
        kind = travel_text(post.travel)
        yield Item("seatpost", 1, f"{post.diameter:g}", "", _post_note(bike), kind,
                   group="seat and cockpit", weighs=("seatpost",))  # fmt: skip
        if post.travel:
            yield Item("dropper post's lever", 1, "with its cable or hose",
                       group="seat and cockpit")  # fmt: skip
    if build.saddle is not None:
        size = f"{build.saddle.length:g} × {build.saddle.width:g}"
        yield Item("saddle", 1, size, group="seat and cockpit", weighs=("saddle",))
    if stem is not None:
        yield Item("stem", 1, f"length {stem.length:g}, angle {stem.angle:g}°",
                   group="seat and cockpit", weighs=("stem",))  # fmt: skip
    if bar is not None:
        wide = "" if bar.width is None else f"width {bar.width:g}, "
        shape = f"drop {bar.drop:g}" if bar.drop else f"rise {bar.rise:g}"
        held = "with tape" if bar.drop else "with grips"
        yield Item("handlebar", 1, f"{wide}{shape}", "", held, group="seat and cockpit",
                   weighs=("bar and grips",))  # fmt: skip
        if bar.levers is not None:
            yield Item("brake levers", 2, "left and right", "", "with their hoses or cables",
                       group="seat and cockpit", weighs=("levers",))  # fmt: skip


def _post_note(bike: Bike) -> str:
    """Return travel, reamed depth and largest insertion of the post in words."""
    post = seatpost_of(bike)
    assert post is not None
    said = [travel_text(post.travel)] if post.travel else []
    said += [f"ream {bore.depth:.0f} deep" for bore in bike.bores if bore.tube == "seat_tube"]
    if post.deepest_insertion is not None:
        said.append(f"insert {post.least_insertion:.0f} to {max(post.deepest_insertion, 0.0):.0f}")
    return ", ".join(said)
