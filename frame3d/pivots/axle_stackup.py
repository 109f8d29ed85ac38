"""At which lateral position each body's rounds stand at each pivot, on the left."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from frame3d.pivots.pins import Kind
from frame3d.tubes.hardware import PLAY
from frame3d.tubes.pin import Pin

Span = tuple[float, float]
"""From y to a larger y [mm]."""
INNERMOST = 4.0
"""Least distance of what is one of a pair from the centre plane [mm]."""
LANE = 30.5
"""Of a plate that nothing places [mm]; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Lanes:
    """Where rounds stand, on the left; the right is the mirror image [mm]."""

    plates: Mapping[str, Span]
    """Plates of links without tubes, by link."""
    rounds: Mapping[tuple[str, str], Span]
    """Lugs, housings of a pair and bosses of plates, by (point, body)."""
    halves: Mapping[str, float]
    """Half widths of what is across the centre plane, by point: housings between plates reach to
    their outer faces."""
    crowded: tuple[tuple[str, str], ...]
    """(point, body) whose given lateral position another body takes already."""


def lanes(
    pins: Mapping[str, Pin], kinds: Mapping[str, Kind], wanted: Mapping[tuple[str, str], float]
) -> Lanes:
    """Share out the room along each axle.

    Plates first, as each keeps one lane over all its points: beside the widest of what is across on
    them. Then the lugs of bodies with tubes, each beside what is there already, as near as may be to
    where its tubes are. Last, bosses of plates reach to what they turn beside.

    Args:
        pins: what stands at each point.
        kinds: of the bodies.
        wanted: lateral position of tubes, by (point, body).
    """
    plates = _plates(pins, kinds, wanted)
    halves = {point: pin.half for point, pin in pins.items() if pin.half is not None}
    rounds: dict[tuple[str, str], Span] = {}
    crowded = []
    for point, pin in pins.items():
        if pin.half is not None and pin.owner in plates:
            halves[point] = plates[pin.owner][1]
        core = [] if point not in halves else [(-halves[point], halves[point])]
        taken: dict[str, Span] = {}
        for body in pin.bodies:
            if body in plates and not (body == pin.owner and pin.half is not None):
                taken[body] = _about(plates[body], pin.thickness(body))
        tubes = [body for body in pin.bodies if kinds[body] == "tubes" and not _owns(pin, body)]
        for body in sorted(tubes, key=lambda body: body != pin.owner):
            others = [*core, *taken.values()]
            given = pin.y if body == pin.owner else None
            thick = pin.thickness(body)
            if given is not None:
                span = (given - thick / 2, given + thick / 2)
                if any(_overlap(span, other) for other in others):
                    crowded.append((point, body))
            else:
                span = _beside(others, thick, wanted.get((point, body)))
            taken[body] = span
        for body in pin.bodies:
            if body in plates and body in taken:
                others = [*core, *(span for b, span in taken.items() if b != body)]
                taken[body] = _reaching(taken[body], others)
        rounds |= {(point, body): span for body, span in taken.items()}
    return Lanes(plates, rounds, halves, tuple(crowded))


def _place(pin: Pin, body: str, wanted: Mapping[tuple[str, str], float]) -> float | None:
    """Where a body's round is to stand: as the file says, or where its tubes are."""
    return pin.y if body == pin.owner and pin.y is not None else wanted.get((pin.point, body))


def _owns(pin: Pin, body: str) -> bool:
    """Whether a body's part here is the housing across."""
    return body == pin.owner and pin.half is not None


def _plates(
    pins: Mapping[str, Pin], kinds: Mapping[str, Kind], wanted: Mapping[tuple[str, str], float]
) -> dict[str, Span]:
    """Lanes of the plates of links without tubes."""
    found: dict[str, Span] = {}
    for body in (name for name, kind in kinds.items() if kind == "plates"):
        own = [pin for pin in pins.values() if body in pin.bodies]
        if not own:
            continue
        thick = max(pin.plate for pin in own)
        low: float | None = None
        for pin in own:
            if pin.half is not None:
                beside = pin.half - thick if pin.owner == body else pin.half + PLAY
                low = beside if low is None else max(low, beside)
            elif pin.owner == body and pin.y is not None and low is None:
                low = pin.y - thick / 2
        for pin in own if low is None else ():
            tubes = [
                _about((y, y), pin.thickness(other))
                for other in pin.bodies
                if (y := _place(pin, other, wanted)) is not None
            ]
            if tubes:
                more = max(pin.thickness(body) - thick, 0.0) / 2
                low = min(t[0] for t in tubes) - PLAY - thick - more
                if low < INNERMOST:
                    low = max(t[1] for t in tubes) + PLAY + more
                break
        for pin in own:
            for other in pin.bodies:
                if other in found and (low is None or _overlap((low, low + thick), found[other])):
                    outer = _about(found[other], pin.thickness(other))[1]
                    low = outer + PLAY + max(pin.thickness(body) - thick, 0.0) / 2
        found[body] = (LANE, LANE + thick) if low is None else (low, low + thick)
    return found


def _about(span: Span, thickness: float) -> Span:
    """A span about the middle of another, not narrower than that."""
    middle, half = (span[0] + span[1]) / 2, max(thickness, span[1] - span[0]) / 2
    return middle - half, middle + half


def _beside(others: list[Span], thickness: float, wanted: float | None) -> Span:
    """A free span beside others, as near as may be to where it is wanted; else outside of them."""
    if not others:
        middle = max(LANE if wanted is None else wanted, INNERMOST + thickness / 2)
        return middle - thickness / 2, middle + thickness / 2
    ranked = sorted(others)
    starts = [high + PLAY for _, high in ranked]
    ends = [low - PLAY for low, _ in ranked]
    free = [(start, start + thickness) for start in starts]
    free += [(end - thickness, end) for end in ends if end - thickness >= INNERMOST]
    free = [span for span in free if not any(_overlap(span, other) for other in others)]
    outermost = max(free)
    if wanted is None:
        return outermost
    return min(free, key=lambda span: (abs((span[0] + span[1]) / 2 - wanted), span))


def _reaching(span: Span, others: list[Span]) -> Span:
    """A span carried on to its nearest neighbours, less the play."""
    low, high = span
    inside = [other[1] for other in others if other[1] <= low]
    outside = [other[0] for other in others if other[0] >= high]
    return (
        min(low, max(inside) + PLAY) if inside else low,
        max(high, min(outside) - PLAY) if outside else high,
    )


def _overlap(a: Span, b: Span) -> bool:
    return a[0] < b[1] - 1e-9 and b[0] < a[1] - 1e-9
