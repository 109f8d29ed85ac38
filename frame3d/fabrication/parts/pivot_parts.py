"""Parts of the rear suspension: shock, made hardware, bearings, axles, bolts, spacers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from frame3d.bike.bike import Bike
from frame3d.fabrication.parts.frame_parts import metal
from frame3d.fabrication.parts.item import Item
from frame3d.fabrication.tube_facts import plain
from frame3d.parameters.models.base import NODE_NAMES
from frame3d.parameters.sizes import standards
from frame3d.tubes.hardware import Housing, Lug

CLOSE = 0.05
"""Gap along an axle below which parts count as touching [mm]."""
SHOCK_NOTE = "to the shock's drawing"


@dataclass(frozen=True, slots=True)
class Stack:
    """What is on the axle of one point, on the left half: y-ranges from the centre plane outwards."""

    point: str
    axle: float
    """Diameter of the axle [mm]."""
    spans: tuple[tuple[float, float], ...]
    """y-range of each part, the innermost first [mm]."""

    @property
    def is_across(self) -> bool:
        """Whether one axle goes through both sides."""
        return self.spans[0][0] <= CLOSE

    @property
    def length(self) -> float:
        """Length of the axle over all that it holds [mm]."""
        outer = max(high for _, high in self.spans)
        return 2 * outer if self.is_across else outer - self.spans[0][0]

    @property
    def gaps(self) -> list[float]:
        """Gaps between neighbours on the left half [mm]; the right half has the same."""
        found, end = [], self.spans[0][1]
        for (_, _), (low, high) in pairwise(self.spans):
            if low - end > CLOSE:
                found.append(round(low - end, 2))
            end = max(end, high)
        return found


def stacks_of(bike: Bike) -> list[Stack]:
    """Return what is on each axle that the suspension turns on, in the order of its points.

    Points at the bottom bracket's or a wheel's own axle have no axle of theirs.
    """
    suspension = bike.spec.suspension
    if suspension is None:
        return []
    found: dict[str, list[tuple[float, float]]] = {}
    bores: dict[str, list[float]] = {}
    for item in bike.pivots:
        rounds: list[tuple[str, float, tuple[float, float]]] = []
        if isinstance(item, Housing):
            rounds.append((item.pivot, item.bore, (0.0, item.width / 2)))
        elif item.side == "right":
            continue
        elif isinstance(item, Lug):
            rounds.append((item.pivot, item.bore, item.span))
        else:
            rounds += [(boss.pivot, boss.bore, (boss.low, boss.high))
                       for boss in item.bosses if boss.bore]  # fmt: skip
        for point, bore, span in rounds:
            found.setdefault(point, []).append(span)
            bores.setdefault(point, []).append(bore)
    for point in (suspension.shock.start, suspension.shock.end):
        if point in found:
            found[point].append((0.0, suspension.shock.eye_width / 2))
    return [
        Stack(point, min(bores[point]), tuple(sorted(spans)))
        for point, spans in found.items()
        if point not in NODE_NAMES
    ]


def pivot_parts(bike: Bike) -> Iterator[Item]:
    """Yield everything of the rear suspension but its tubes."""
    suspension = bike.spec.suspension
    if suspension is not None:
        shock = suspension.shock
        eyes = f"eyes {shock.eye_width:g} wide"
        yield Item(
            "rear shock", 1, f"{shock.length:g} × {shock.full_stroke:g}",
            shock.size if shock.size is not None else "", eyes, eyes, group="rear suspension",
            weighs=("shock",),
        )  # fmt: skip
    yield from _made(bike)
    pivots = {} if suspension is None else suspension.pivots
    for point, pivot in pivots.items():
        if pivot.bearing is not None:
            size = f"{pivot.bearing.od:g} outside, {pivot.bearing.width:g} wide"
            yield Item("bearing", 2, size, "", f"in the housing of {plain(point)}",
                       group="rear suspension")  # fmt: skip
        if pivot.chip is not None:
            yield Item("flip chip", 2, f"in {plain(pivot.chip)} at {plain(point)}", "",
                       "left and right", group="rear suspension")  # fmt: skip
    for stack in stacks_of(bike):
        yield from _on_axle(bike, stack)


def _made(bike: Bike) -> Iterator[Item]:
    """Yield housings, lugs and plates, left and right together."""
    suspension = bike.spec.suspension
    names: dict[tuple[str, str], list[str]] = {}
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
        names.setdefault((name, size), []).append(item.name)
    for (name, size), same in names.items():
        yield Item(name, len(same), size, "", "left and right" if len(same) == 2 else "",
                   group="rear suspension", material=metal(bike), weighs=tuple(same))  # fmt: skip


def _on_axle(bike: Bike, stack: Stack) -> Iterator[Item]:
    """Yield axle, bolts and spacers of one point; at an end of the shock its bolt and bushing."""
    suspension = bike.spec.suspension
    assert suspension is not None
    where, shock = plain(stack.point), suspension.shock
    sides = 1 if stack.is_across else 2
    size = f"{stack.axle:g} × {stack.length:z.1f} over what it holds"
    if stack.point in (shock.start, shock.end):
        yield from _shock_end(bike, stack, size)
    else:
        pivot = suspension.pivots.get(stack.point)
        bare = pivot is None or pivot.bearing is None
        note = f"at {where}" + ("; bearing not given" if bare else "")
        yield Item("pivot axle", sides, size, "", note, f"at {where}", group="rear suspension")
        bolts = f"for an axle of {stack.axle:g}"
        yield Item("pivot bolt", 2 * sides, bolts, "", f"one at either end, at {where}",
                   group="rear suspension")  # fmt: skip
    for gap in dict.fromkeys(stack.gaps):
        count = 2 * stack.gaps.count(gap)
        yield Item("pivot spacer", count, f"{gap:g} thick, bore {stack.axle:g}", "", f"at {where}",
                   group="rear suspension")  # fmt: skip


def _shock_end(bike: Bike, stack: Stack, size: str) -> Iterator[Item]:
    """Yield what holds one end of the shock."""
    suspension = bike.spec.suspension
    assert suspension is not None
    shock, where = suspension.shock, plain(stack.point)
    known = None if shock.size is None else standards.SHOCKS.get(shock.size)
    if known is not None and known.mount == "trunnion" and stack.point == shock.start:
        yield Item("shock bolt, trunnion", 2, "one on either side", "",
                   f"at {where}, {SHOCK_NOTE}", group="rear suspension")  # fmt: skip
        return
    yield Item("shock bolt", 1, size, "", f"at {where}, with its nut", f"at {where}",
               group="rear suspension")  # fmt: skip
    yield Item("shock bushing with spacers", 1, f"bolt {stack.axle:g}, {shock.eye_width:g} wide", "",
               f"at {where}, {SHOCK_NOTE}", group="rear suspension")  # fmt: skip
