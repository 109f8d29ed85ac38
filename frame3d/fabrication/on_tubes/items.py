"""Bosses, guides, stops and eyes of the file in the parts list, those of one size together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from frame3d.bike.bike import Bike
from frame3d.fabrication.parts.item import Item
from frame3d.fabrication.tube_facts import plain
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.forms import Form, forms
from frame3d.tubes.features.towers import towers

PRACTICE = "common practice, no source"
WHAT = {
    "boss": "threaded boss",
    "guide": "guide",
    "stop": "cable stop",
    "eye": "threaded eye",
    "flat_mount": "flat mount sleeve",
    "post_mount": "brake post",
}


@dataclass
class _Alike:
    names: list[str] = field(default_factory=list)
    where: dict[str, None] = field(default_factory=dict)


def feature_items(bike: Bike) -> Iterator[Item]:
    """Yield what is joined to tubes, then the bolts of bosses, and the bosses that bottles ask for."""
    alike: dict[tuple[str, str, str], _Alike] = {}
    bolts: dict[tuple[str, str], int] = {}
    tubes = {tube.name: tube for tube in bike.tubes}
    for feature in bike.frame.features:
        tube = tubes[feature.tube]
        for tower in towers(feature, tube):
            wide, high = (_short(x) for x in (feature.spec.outside, tower.height))
            size = f"{feature.spec.threaded}, face {wide} square, {high} to the tube's axis"
            group = alike.setdefault((WHAT["post_mount"], size, tube.material), _Alike())
            group.names.append(tower.name)
            group.where[f"{plain(feature.name)} on {plain(feature.key)}"] = None
            _count(bolts, "post mount", feature)
        for form in forms(feature, tube):
            key = (WHAT[feature.spec.kind], _size(feature, form), tube.material)
            group = alike.setdefault(key, _Alike())
            group.names.append(form.name)
            group.where[f"{plain(feature.name)} on {plain(feature.key)}"] = None
            if feature.spec.kind in ("boss", "flat_mount"):
                _count(bolts, plain(feature.spec.kind), feature)
    for (what, size, material), group in alike.items():
        yield Item(
            what, len(group.names), size, "", "; ".join(group.where), material=material,
            weighs=tuple(group.names),
        )  # fmt: skip
    for (where, thread), count in bolts.items():
        note = PRACTICE if where == "boss" else "length to the caliper's drawing"
        yield Item(f"{where} bolts", count, thread, "", note)
    yield from _bottles(bike)


def _count(bolts: dict[tuple[str, str], int], where: str, feature: Feature) -> None:
    key = (where, feature.spec.threaded)
    bolts[key] = bolts.get(key, 0) + 1


def _thread(feature: Feature) -> str:
    return feature.spec.threaded


def _short(length: float) -> str:
    return f"{length:.1f}".removesuffix(".0")


def _size(feature: Feature, form: Form) -> str:
    spec = feature.spec
    long = _short(form.length)
    match spec.kind:
        case "boss" | "eye":
            return f"{_thread(feature)}, {form.diameter:g} outside, {long} long"
        case "flat_mount":
            return (
                f"for {_thread(feature)}, {form.diameter:g} outside, bored {form.bores[0].diameter:g}, "
                f"{long} long"
            )
        case _:
            return f"for {spec.held:g}, {form.diameter:g} outside, {long} long"


def _bottles(bike: Bike) -> Iterator[Item]:
    """Yield bosses that only bottles ask for, and what every bottle needs."""
    number = sum(len(feature.s) for feature in bike.frame.features if feature.implied)
    if number:
        yield Item("bottle bosses", number, "M5, pairs 64 apart", "", PRACTICE)
        yield Item("bottle boss bolts", number, "M5", "", PRACTICE)
    cages = len(bike.spec.build.bottles)
    if cages:
        yield Item("bottle cage", cages, "on a pair of bosses")
