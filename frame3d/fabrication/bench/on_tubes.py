"""What the bench order says of features: drilled and set in before joining, stood on after, then tapped.

Bosses go into single tubes, whose insides can still be reached; guides, stops and eyes follow once the
frame stands in line, as their angles are seen on it. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from frame3d.fabrication.bench.words import JOIN
from frame3d.fabrication.on_tubes.marks import Mark
from frame3d.fabrication.on_tubes.on_dropouts import DropoutMark
from frame3d.fabrication.tube_facts import plain
from frame3d.parameters.models.shop.bench import Process

DRILLED = ("boss", "port", "vent", "flat_mount")
Line = tuple[str, ...]
"""Phase, what is done, sizes; without the phase where the caller gives it."""


def before_joining(marks: Sequence[Mark], process: Process | None) -> Iterator[Line]:
    """Yield the drilling of each tube, left and right together, and the joining of its bosses."""
    for key, own in _by_tube(marks).items():
        holes = [m for m in own if m.feature.spec.kind in DRILLED]
        if not holes:
            continue
        vents = any(m.feature.spec.kind == "vent" for m in holes)
        yield (
            "On the tubes",
            f"{plain(key)}: mark and drill {numbers(holes)}; deburr inside and out"
            + (", vents open before any heat" if vents else ""),
            f"{_counted(holes)}; marking template",
        )
        patched = [m for m in holes if m.feature.spec.patch is not None]
        if patched:
            yield (
                "On the tubes",
                f"{plain(key)}: roll the patches {numbers(patched)} to the tube, {JOIN[process]} them "
                "all round on the template's outline, open the ports through them",
                f"{_counted(patched)}; blanks in plates/",
            )
        bosses = [m for m in holes if m.feature.spec.kind in ("boss", "flat_mount")]
        if bosses:
            rivet = " or rivet" if all(m.feature.implied for m in bosses) else ""
            yield (
                "On the tubes",
                f"{plain(key)}: {JOIN[process]}{rivet} the {_called(bosses)} {numbers(bosses)}, "
                "a screw in each, square to the tube",
                _counted(bosses),
            )


def after_joining(marks: Sequence[Mark], process: Process | None) -> Iterator[Line]:
    """Yield what is stood on the tubes of the joined frame, tube by tube."""
    for key, own in _by_tube(marks).items():
        stood = [m for m in own if m.feature.spec.kind in ("guide", "stop", "eye")]
        posts = [m for m in own if m.face is not None]
        if posts:
            yield (
                "On the frame",
                f"{plain(key)}: with wheel axle and caliper, or a dummy, in place, {JOIN[process]} the "
                f"brake mount {numbers(posts)}",
                f"{_counted(posts)}; page of marks",
            )
        if stood:
            yield (
                "On the frame",
                f"{plain(key)}: mark and {JOIN[process]} {numbers(stood)}, in line by eye and measured",
                f"{_counted(stood)}; page of marks",
            )


def slots(marks: Sequence[Mark]) -> Iterator[Line]:
    """Yield the cutting of the clamp slot."""
    for mark in marks:
        if mark.feature.spec.kind == "clamp_slot":
            yield (
                f"drill the end of the clamp slot, then saw the slot: {mark.around_text}",
                f"hole {mark.feature.spec.hole:g}, {mark.feature.spec.long:g} below the top; "
                f"slot {mark.feature.spec.wide:g}",
            )


def faces(marks: Sequence[Mark]) -> Iterator[Line]:
    """Yield the facing of the brake mount."""
    posts = [m for m in marks if m.face is not None]
    if posts:
        apart = posts[0].feature.spec.apart
        yield (
            f"face the posts of the brake mount {numbers(posts)} in one plane, square to the rotor, "
            "once cold",
            f"{apart:g} between the bolts; middles of the faces on the fixture sheet",
        )


def threads(marks: Sequence[Mark]) -> Iterator[Line]:
    """Yield the chasing of threads, by size."""
    threaded = [m for m in marks if m.feature.spec.kind in ("boss", "eye", "post_mount")]
    only_bottles = all(m.feature.implied for m in threaded)
    count: dict[str, int] = {}
    for mark in threaded:
        thread = mark.feature.spec.threaded
        count[thread] = count.get(thread, 0) + 1
    if count:
        what = "the bottle bosses" if only_bottles else "bosses and eyes"
        if any(m.feature.spec.kind == "post_mount" for m in threaded):
            what = (
                "the brake mount"
                if len(_kinds(threaded)) == 1
                else f"{what}, and of the brake mount"
            )
        yield (
            f"chase the threads of {what}",
            "; ".join(f"{thread}, {n} of them" for thread, n in count.items()),
        )


def _called(bosses: Sequence[Mark]) -> str:
    return "sleeves" if _kinds(bosses) == {"flat_mount"} else "bosses"


def _kinds(marks: Sequence[Mark]) -> set[str]:
    return {m.feature.spec.kind for m in marks}


def _by_tube(marks: Sequence[Mark]) -> dict[str, list[Mark]]:
    found: dict[str, list[Mark]] = {}
    for mark in marks:
        found.setdefault(mark.tube.key, []).append(mark)
    return found


def numbers(marks: Sequence[Mark | DropoutMark]) -> str:
    """Return the numbers of marks in words, each once."""
    return ", ".join(dict.fromkeys(str(mark.number) for mark in marks))


def _counted(marks: Sequence[Mark]) -> str:
    """Return how many of each kind and size there are, in words."""
    count: dict[str, int] = {}
    for mark in marks:
        count[mark.what] = count.get(mark.what, 0) + 1
    return "; ".join(f"{n} × {what}" if n > 1 else what for what, n in count.items())
