"""The texts of page and viewer, one JSON file for each language."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from frame3d.geometry.vector import Point


class Texts:
    """The texts of one language."""

    def __init__(self, data: Mapping[str, Any]) -> None:
        self._data = data
        self._found: dict[str, Any] = {}

    def __call__(self, key: str, **values: object) -> str:
        """Return the text under a dotted key, with its ``{names}`` filled in.

        Raises:
            KeyError: there is no such text, or a value for one of its names is missing.
        """
        found = self.get(key)
        if found is None:
            raise KeyError(key)
        return found.format(**values) if values else found

    def get(self, key: str) -> str | None:
        """Return the text under a dotted key as it stands; None where there is none."""
        found = self.section(key)
        return found if isinstance(found, str) else None

    def section(self, key: str) -> Any:
        """Return everything under a dotted key; None where there is nothing."""
        if key in self._found:
            return self._found[key]
        here: Any = self._data
        for part in key.split("."):
            here = here.get(part) if isinstance(here, Mapping) else None
        if here is not None:
            self._found[key] = here
        return here

    @property
    def everything(self) -> Mapping[str, Any]:
        """Return all texts, for the page's scripts."""
        return self._data

    def number(self, value: float | None, decimals: int = 1, *, sign: bool = False) -> str:
        """Return a number as this language writes it; a dash where there is none."""
        if value is None:
            return "–"
        shown = f"{value:{'+' if sign else ''}.{decimals}f}"
        if float(shown) == 0:
            shown = shown.lstrip("+-")
        return shown.replace("-", "−").replace(".", self("number.point"))

    def quantity(self, value: float | None, unit: str, decimals: int = 1) -> str:
        """Return a number with its unit: 455.0 mm, 65.5°."""
        shown = self.number(value, decimals)
        mark = self.unit(unit)
        return (
            shown if value is None else f"{shown}{mark}" if mark in ("°", "") else f"{shown} {mark}"
        )

    def unit(self, unit: str) -> str:
        """Return a unit as it is written after a number."""
        known = self.get(f"unit.{unit}")
        return unit if known is None else known

    def part(self, name: str) -> str:
        """Return a part's name as text: ``chainstay_left`` → Chainstay left.

        Features have their host before them: ``seatstay-brake-1_left`` → Seatstay: brake 1 left.
        """
        known = self.get(f"part.{name}")
        if known is not None:
            return known
        for side in ("left", "right"):
            stem = name.removesuffix(f"_{side}")
            if stem != name:
                return self("part_on_side", part=self.part(stem), side=self(f"side.{side}"))
        for kind in ("chain_upper", "chain_lower", "chain_round", "bottle"):
            rest = name.removeprefix(f"{kind}_")
            if rest != name:
                return f"{self(f'part.{kind}')} {rest.replace('_', '/')}"
        for kind in ("housing", "lug", "plate"):
            rest = name.removeprefix(f"{kind}_")
            if rest != name:
                return self(f"part.{kind}", of=self.part(rest).lower())
        host, dash, feature = name.partition("-")
        if dash:
            what = feature.replace("-", " ").replace("_", " ")
            return self("part_on_part", of=self.part(host), what=what)
        plain = name.replace("_", " ")
        return plain[:1].upper() + plain[1:]

    def pose(self, at: Mapping[str, float]) -> str:
        """Return a pose in words: fork 130 mm, steering 25°."""
        return ", ".join(
            f"{self.get(f'motion.{name}.short') or name} "
            + self.quantity(value, "mm" if name in ("rear", "fork", "slide") else "degrees", 0)
            for name, value in at.items()
        )

    def point(self, at: Point) -> str:
        """Return a point's coordinates [mm]."""
        return ", ".join(self.number(x, 1) for x in at)


@cache
def texts(language: str = "en") -> Texts:
    """Return the texts of a language.

    Raises:
        FileNotFoundError: there are none in that language.
    """
    file = files(__package__).joinpath(f"{language}.json")
    return Texts(json.loads(file.read_text(encoding="utf-8")))
