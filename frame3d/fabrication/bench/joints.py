"""The joints of a frame: which bodies meet, and in which order they are tacked and joined."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from frame3d.bike.bike import Bike
from frame3d.errors import Fault, SpecError
from frame3d.fabrication.tube_facts import acute, end_of, plain
from frame3d.tubes.hardware import DROPOUT, RACE_SEAT, STEERER, Housing, Lug

FRONT, WHOLE = "front frame", "frame"
"""What moves with no link: the front frame of a bike with rear suspension, else the whole frame."""
FORK = "fork"
"""The fork that the shop builds."""


@dataclass(frozen=True, slots=True)
class Joint:
    """Two bodies that meet; both sides of a pair are one joint."""

    first: str
    """Key of the later one in the build order: a tube, a pivot's point, or a plate."""
    second: str
    """Key of what it is joined to: a tube, ``bottom_bracket``, ``rear_dropout`` or a pivot's point."""
    assembly: str
    """What is joined to one piece: `FRONT` or `WHOLE`, or a link of the rear suspension."""
    sides: int
    """Number of places: 2 where left and right are alike."""
    cut: str
    """How the first is cut there, in words; empty where it only goes through or is held by a web."""

    @property
    def names(self) -> frozenset[str]:
        """The two keys."""
        return frozenset((self.first, self.second))

    @property
    def title(self) -> str:
        """The joint in words."""
        return f"{plain(self.first)} to {plain(self.second)}"


def joints_of(bike: Bike) -> tuple[Joint, ...]:
    """Return all joints, the front frame's first, each once its bodies are there: the build order."""
    found: dict[tuple[str, str], list[tuple[str, str, str]]] = {}
    for first, second, side, assembly, cut in (
        *_of_tubes(bike),
        *_of_hardware(bike),
        *_of_plates(bike),
    ):
        key = (first, second) if (second, first) not in found else (second, first)
        found.setdefault(key, []).append((side, assembly, cut))
    joints = [
        Joint(first, second, ones[0][1], len({side for side, _, _ in ones}) if len(ones) > 1 else 1,
              next((cut for _, _, cut in ones if cut), ""))
        for (first, second), ones in found.items()
    ]  # fmt: skip
    assemblies = list(dict.fromkeys([_still(bike), *(joint.assembly for joint in joints)]))
    return tuple(sorted(joints, key=lambda joint: assemblies.index(joint.assembly)))


def fork_joints(fork: Bike) -> tuple[Joint, ...]:
    """Return the joints of a fork that the shop builds, its race seat's first."""
    joints = [replace(joint, assembly=FORK) for joint in joints_of(fork)]
    if any(tube.key == RACE_SEAT for tube in fork.tubes):
        joints.insert(0, Joint(RACE_SEAT, STEERER, FORK, 1, "on the steerer, up to its shoulder"))
    return tuple(joints)


def _still(bike: Bike) -> str:
    """Return the name of what moves with no link."""
    return WHOLE if bike.spec.suspension is None else FRONT


def _of_tubes(bike: Bike) -> Iterator[tuple[str, str, str, str, str]]:
    """Yield what each tube is joined to: keys of both, side, assembly, how it is cut."""
    keys = _keys(bike)
    for tube in bike.tubes:
        assembly = _still(bike) if tube.link is None else plain(tube.link)
        cuts: dict[str, str] = {}
        for which in ("start", "end"):
            end = end_of(tube, which)
            if end.target in keys:
                said = "square" if end.cut == "square" else "mitred"
                if end.cut == "mitre" and end.angle is not None:
                    said += f" at {acute(end.angle):z.2f}°"
                cuts[end.target] = f"{which} {said}"
        for name in dict.fromkeys((*cuts, *tube.cut_by)):
            if name in keys:
                side = tube.side or ("left" if name.endswith("_left") else "right")
                yield tube.key, keys[name], side, assembly, cuts.get(name, "coped")


def _of_hardware(bike: Bike) -> Iterator[tuple[str, str, str, str, str]]:
    """Yield what holds housings and lugs by webs, as `_of_tubes`."""
    keys = _keys(bike)
    for item in bike.pivots:
        if not isinstance(item, Housing | Lug):
            continue
        assembly = _still(bike) if item.link is None else plain(item.link)
        side = item.side if isinstance(item, Lug) else "left"
        for web in item.webs:
            if web.to in keys:
                yield item.pivot, keys[web.to], side, assembly, "web"


def _of_plates(bike: Bike) -> Iterator[tuple[str, str, str, str, str]]:
    """Yield what gussets, tabs and other plates stand on, as `_of_tubes`."""
    keys = _keys(bike)
    for plate in bike.plates:
        assembly = _still(bike) if plate.link is None else plain(plate.link)
        for name in plate.on:
            yield plate.key, keys[name], plate.side or "left", assembly, "plate"


def _keys(bike: Bike) -> dict[str, str]:
    """Return the keys of bodies by their names; a pivot's hardware goes by its point."""
    keys = {tube.name: tube.key for tube in bike.tubes}
    if bike.shell is not None:
        keys["bottom_bracket"] = "bottom_bracket"
    keys |= {dropout.name: DROPOUT for dropout in bike.dropouts}
    return keys | {i.name: i.pivot for i in bike.pivots if isinstance(i, Housing | Lug)}


def own_order(bike: Bike, joints: Sequence[Joint]) -> tuple[Joint, ...]:
    """Return the joints in the builder's own order; those of tubes that could not be made are left out.

    Raises:
        SpecError: the order has a joint that the frame has not, or leaves one out.
    """
    spec = bike.frame.spec
    assert spec.bench is not None
    gone = set(spec.tubes) - {tube.key for tube in bike.tubes}
    made = {joint.names: joint for joint in joints}
    faults: list[Fault] = []
    order: list[Joint] = []
    for i, pair in enumerate(spec.bench.order):
        if gone & set(pair):
            continue
        joint = made.get(frozenset(pair))
        if joint is None:
            meets = sorted(
                next(iter(j.names - {pair[0]}), pair[0]) for j in joints if pair[0] in j.names
            )
            hint = f"{pair[0]} meets {', '.join(meets) or 'nothing'}"
            message = f"{pair[0]} and {pair[1]} do not meet"
            faults.append(spec.fault("inconsistent", f"bench.order.{i}", message, hint))
        else:
            order.append(joint)
    left = [joint for joint in joints if joint not in order]
    if left:
        listed = ", ".join(f"[{joint.first}, {joint.second}]" for joint in left)
        faults.append(
            spec.fault("missing-key", "bench.order", "joints are left out", f"add {listed}")
        )
    if faults:
        raise SpecError(faults)
    return tuple(order)


def spread(joints: Sequence[Joint]) -> tuple[Joint, ...]:
    """Return joints of one assembly so that neighbours share no body where there is a choice.

    That spreads the heat (common practice, no source).
    """
    left, order = list(joints), list[Joint]()
    while left:
        last = order[-1].names if order else frozenset[str]()
        at = next((i for i, joint in enumerate(left) if not joint.names & last), 0)
        order.append(left.pop(at))
    return tuple(order)
