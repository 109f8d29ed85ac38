"""Studies of the demos for tests, put together by hand, and random designs of them."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import numpy as np

from frame3d.explore.study.quantities import label_of, scale_of
from frame3d.explore.study.study import Design, Preference, Quantity, Study, Varied, Wish
from frame3d.parameters.reading import scalars, tree
from frame3d.parameters.reading.data import places
from frame3d.parameters.reading.reader import read_text

CONFIGS = Path(__file__).parents[3] / "configs"
DEMOS = (
    "minimal",
    "adventure_rigid",
    "trail_hardtail_29",
    "trail_full_140",
    "enduro_170_mixed",
    "families/trail_hardtail",
    "families/trail_full",
)


def study_of(
    demo: str,
    varied: tuple[Varied, ...],
    *,
    wishes: tuple[Wish, ...] = (),
    preferences: tuple[Preference, ...] = (),
    checks: tuple[str, ...] | Literal["all"] = (),
    sizes: tuple[str | None, ...] = (None,),
    settings: tuple[str, ...] = (),
) -> Study:
    """A study of a demo."""
    path = CONFIGS / f"{demo}.yaml"
    return Study(
        source="study.yaml",
        text="",
        bike_source=path.name,
        bike_text=read_text(path),
        varied=varied,
        wishes=wishes,
        preferences=preferences,
        checks=checks,
        sizes=sizes,
        settings=settings,
    )


def between(quantity: Quantity, low: float | None = None, high: float | None = None) -> Wish:
    """A wish for a quantity within limits."""
    return Wish(label_of(quantity), quantity, low, high, scale_of(quantity.unit))


def numbers_of(demo: str) -> dict[str, float]:
    """Dotted paths of all plain numbers of a demo, with their values."""
    text = read_text(CONFIGS / f"{demo}.yaml")
    found: dict[str, float] = {}

    def walk(node: tree.Node | None, path: str) -> None:
        if isinstance(node, tree.Mapping):
            for key, entry in node.entries.items():
                walk(entry.node, tree.join(path, key))
        elif isinstance(node, tree.Sequence):
            for i, item in enumerate(node.items):
                walk(item, tree.join(path, str(i)))
        elif node is not None and node.plain:
            value = scalars.value(node.text)
            if isinstance(value, int | float) and not isinstance(value, bool):
                found[path] = float(value)

    walk(tree.parse(text, places(text, demo)).root, "")
    del found["format"]
    return found


def within(varied: tuple[Varied, ...], random: np.random.Generator) -> Design:
    """A design anywhere in the ranges and lists."""
    out: list[float | str] = []
    for one in varied:
        if one.values:
            out.append(one.values[int(random.integers(len(one.values)))])
        else:
            assert one.low is not None
            assert one.high is not None
            out.append(round(float(random.uniform(one.low, one.high)), 4))
    return tuple(out)
