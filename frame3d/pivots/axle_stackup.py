"""Lay out the y-range of every lug, housing and plate along each pivot axle.

Only the left half is laid out; the right half is its mirror image. Section through one axle, from the
centre plane outwards::

      y = 0
      |<---- half ---->|      |<-thickness->|
      +----------------+      +-------------+      +-------+
      |    housing     | PLAY |     lug     | PLAY | plate |
    - | - - - - - - - -| - - -| - - - - - - | - - -| - - - | - - - -> y, left
      |   across the   |      |  of a body  |      | of a  |
      |  centre plane  |      | with tubes  |      | link  |
      +----------------+      +-------------+      +-------+
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from frame3d.pivots.pins import Kind
from frame3d.tubes.hardware import PLAY
from frame3d.tubes.pin import Pin

Span = tuple[float, float]
"""From y to a larger y [mm]."""
INNERMOST = 4.0
"""Least distance from the centre plane of a part that comes in a pair, left and right [mm]."""
LANE = 30.5
"""Inner face of a plate whose position follows from nothing else; of a lug its middle [mm]; common
practice, no source."""


@dataclass(frozen=True, slots=True)
class Lanes:
    """The y-ranges of all parts on the axles, on the left [mm]."""

    plates: Mapping[str, Span]
    """Plates of links without tubes: link -> y-range."""
    rounds: Mapping[tuple[str, str], Span]
    """Lugs, housings of a pair, and bosses of plates: (point, body) -> y-range."""
    halves: Mapping[str, float]
    """Half widths of what lies across the centre plane: point -> mm. A housing between the plates of
    its own link reaches to their outer faces."""
    crowded: tuple[tuple[str, str], ...]
    """(point, body) where the lateral position that the file gives overlaps another body."""


def lanes(
    pins: Mapping[str, Pin], kinds: Mapping[str, Kind], wanted: Mapping[tuple[str, str], float]
) -> Lanes:
    """Share out the room along each axle.

    Plates come first, as a plate has the same y-range at all its points: next to the widest part
    across the centre plane on them. Then the lugs of bodies with tubes, each next to what is there
    already, as near as possible to where its tubes are. Last, bosses of plates are lengthened to what
    they turn beside.

    Args:
        pins: what is at each point.
        kinds: of the bodies.
        wanted: lateral position of tubes, by (point, body) [mm].
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
    """Return the lateral position for a body's lug: the file's, or that of its tubes, or None."""
    return pin.y if body == pin.owner and pin.y is not None else wanted.get((pin.point, body))


def _owns(pin: Pin, body: str) -> bool:
    """Return whether a body's part at a pin is the housing across the centre plane."""
    return body == pin.owner and pin.half is not None


def _plates(
    pins: Mapping[str, Pin], kinds: Mapping[str, Kind], wanted: Mapping[tuple[str, str], float]
) -> dict[str, Span]:
    """Return the y-ranges of the plates of links without tubes."""
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
    """Return a range with the same middle as `span`, at least `thickness` wide."""
    middle, half = (span[0] + span[1]) / 2, max(thickness, span[1] - span[0]) / 2
    return middle - half, middle + half


def _beside(others: list[Span], thickness: float, wanted: float | None) -> Span:
    """Return the free range next to others that is nearest to `wanted`; if None, the outermost."""
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
    """Return a range lengthened to its nearest neighbours, less the play."""
    low, high = span
    inside = [other[1] for other in others if other[1] <= low]
    outside = [other[0] for other in others if other[0] >= high]
    return (
        min(low, max(inside) + PLAY) if inside else low,
        max(high, min(outside) - PLAY) if outside else high,
    )


def _overlap(a: Span, b: Span) -> bool:
    return a[0] < b[1] - 1e-9 and b[0] < a[1] - 1e-9
