"""Order: which tube is placed, and cut, before which."""

from __future__ import annotations

from frame3d.geometry.bench import DROPOUT, SHELL, Bench


def build_order(bench: Bench) -> list[str]:
    """Keys of the tubes such that whatever a tube sits on comes before it.

    Head tube and seat tube come first where they lean on nothing, then the order of the file holds
    as far as it can. Tubes that cannot be placed, because they name something that does not exist or
    lean on each other in a circle, are left out, and so is what leans on them; each cause is taken
    down as a fault.
    """
    tubes = bench.spec.tubes
    pivots = () if bench.spec.suspension is None else tuple(bench.spec.suspension.points)
    leans: dict[str, tuple[str, ...]] = {}
    out: set[str] = set()
    for key, tube in tubes.items():
        if _is_taken(bench, key):
            out.add(key)
        on: list[str] = []
        for end, junction in (("start", tube.start), ("end", tube.end)):
            if junction is None or junction.on is None:
                continue
            if junction.on in tubes:
                on.append(junction.on)
            elif junction.on not in (SHELL, DROPOUT, *pivots) and junction.on not in bench.nodes:
                _missing(bench, key, end, junction.on)
                out.add(key)
        leans[key] = tuple(dict.fromkeys(on))
    first = [key for key in ("head_tube", "seat_tube") if key in tubes]
    wishes = [*first, *(key for key in tubes if key not in first)]
    order: list[str] = []
    loops: set[frozenset[str]] = set()

    def visit(key: str, trail: tuple[str, ...]) -> bool:
        """Whether `key` can be placed; appends it after what it leans on."""
        if key in trail:
            loop = trail[trail.index(key) :]
            if frozenset(loop) not in loops:
                loops.add(frozenset(loop))
                _circle(bench, loop)
            return False
        if key in order:
            return True
        for other in leans[key]:  # all of them, so that every circle is found
            if not visit(other, (*trail, key)):
                out.add(key)
        if key in out:
            return False
        if key not in order:
            order.append(key)
        return True

    for key in wishes:
        visit(key, ())
    return order


def split_order(bench: Bench, order: list[str]) -> tuple[list[str], list[str]]:
    """The tubes that the suspension's points may be given from, and those that need the points.

    Links' tubes, and tubes that end on a point, wait for the points, and so does what leans on them.
    """
    suspension = bench.spec.suspension
    if suspension is None:
        return order, []
    early: list[str] = []
    for key in order:
        tube = bench.spec.tubes[key]
        on = [j.on for j in (tube.start, tube.end) if j is not None and j.on is not None]
        waits = tube.link is not None or any(
            name in suspension.points or (name in bench.spec.tubes and name not in early)
            for name in on
        )
        if not waits:
            early.append(key)
    return early, [key for key in order if key not in early]


def _is_taken(bench: Bench, key: str) -> bool:
    """Whether a tube is named as one of a pair is; taken down as a fault."""
    for side in ("left", "right"):
        pair = key.removesuffix(f"_{side}")
        if pair != key and pair in bench.spec.tubes and bench.spec.tubes[pair].pair:
            bench.fault(
                "bad-name",
                f"tubes.{key}",
                f"the {side} one of the pair {pair} has this name already",
                "another name",
            )
            return True
    return False


def _missing(bench: Bench, asker: str, end: str, name: str) -> None:
    """An end that names nothing known."""
    for side in ("left", "right"):
        key = name.removesuffix(f"_{side}")
        if key != name and key in bench.spec.tubes and bench.spec.tubes[key].pair:
            hint = f"{name} is one of the pair {key}: write on: {key}, side: {side}"
            break
    else:
        hint = bench.suggest(name, asker)
    path = f"tubes.{asker}.{end}.on"
    bench.fault("junction-target", path, f"there is no tube or node {name}", hint)


def _circle(bench: Bench, loop: tuple[str, ...]) -> None:
    """Tubes that lean on each other."""
    key, following = loop[0], loop[1 % len(loop)]
    tube = bench.spec.tubes[key]
    end = "start" if tube.start is not None and tube.start.on == following else "end"
    bench.fault(
        "junction-cycle",
        f"tubes.{key}.{end}.on",
        f"ends lean on each other in a circle: {' → '.join((*loop, key))}",
        "let one of them end on something else, e.g. on a node or at a free point",
    )
