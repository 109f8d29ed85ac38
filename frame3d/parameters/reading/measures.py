"""Numbers written with units where bare numbers are wanted, and what they mean."""

from __future__ import annotations

import re
from typing import Final

from frame3d.parameters.models.base import Problem
from frame3d.parameters.units import BAR, LB_IN, PSI

_NUMBER = r"[-+]?(?:\d+(?:[.,]\d+)?|[.,]\d+)"
_FRACTION = r"(?:(\d+)[ -])?(\d+)/(\d+)"
_WITH_UNIT: Final = re.compile(rf"({_NUMBER})\s*([^\W\d_][^\W_]*(?:/[^\W\d_]+)?\.?|[\"'°″′”’%])")
_INCHES: Final = re.compile(rf"{_FRACTION}\s*(in\.?|inch|inches|[\"″”])?")
_COMMA: Final = re.compile(r"[-+]?\d+,\d+")
_UNITS: Final[dict[str, dict[str, float]]] = {
    "mm": {
        **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), 1.0),
        **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeters"), 10.0),
        **dict.fromkeys(("m", "metre", "metres", "meters"), 1000.0),
        **dict.fromkeys(("in", "inch", "inches", '"', "″", "”"), 25.4),
        **dict.fromkeys(("ft", "foot", "feet", "'", "′", "’"), 304.8),
    },
    "degrees": dict.fromkeys(("deg", "degs", "degree", "degrees", "°"), 1.0),
    "kg": {
        **dict.fromkeys(("kg", "kgs", "kilogram", "kilograms"), 1.0),
        "g": 0.001,
        **dict.fromkeys(("lb", "lbs", "pound", "pounds"), 0.45359237),
    },
    "lb/in": {**dict.fromkeys(("lb/in", "lbs/in", "lb", "lbs"), 1.0), "n/mm": 1 / LB_IN},
    "N/mm": {"n/mm": 1.0, **dict.fromkeys(("lb/in", "lbs/in", "lb", "lbs"), LB_IN)},
    "bar": {"bar": 1.0, "psi": PSI / BAR, "kpa": 0.01, "mpa": 10.0},
    "psi": {"psi": 1.0, "bar": BAR / PSI, "kpa": 0.01 * BAR / PSI, "mpa": 10.0 * BAR / PSI},
}
"""Unit of a field -> other units in terms of it, by their exact definitions."""
_NOT_FINITE: Final = {"nan", "inf", "infinity"}


def no_number(given: object, unit: str, allowed: str) -> Problem:
    """Return the problem of `given` where a number in `unit` is wanted; `allowed` describes it."""
    wanted = f"a bare number of {unit} is wanted" if unit else "a whole number is wanted"
    if given is None:
        return Problem("wrong-type", "", f"nothing stands here; {wanted}", allowed)
    if not isinstance(given, str):
        return Problem("wrong-type", "", f"{shown(given)} is no number; {wanted}", allowed)
    text = given.strip()
    if text.lower().lstrip("+-.") in _NOT_FINITE:
        return Problem("not-finite", "", f"{shown(given)} is no finite number", allowed)
    if _COMMA.fullmatch(text):
        return Problem(
            "wrong-type",
            "",
            f"{shown(given)} has a decimal comma; {wanted}",
            f"write {text.replace(',', '.')}",
        )
    if re.fullmatch(_NUMBER, text):
        return Problem(
            "wrong-type", "", f"{shown(given)} is text; {wanted}", f"write {text}, without quotes"
        )
    inches = _INCHES.fullmatch(text)
    if inches is not None and unit == "mm" and float(inches[3]) > 0:
        value = (float(inches[1] or 0) + float(inches[2]) / float(inches[3])) * 25.4
        code, if_so = ("wrong-unit", "") if inches[4] else ("wrong-type", " if inches are meant")
        return Problem(
            code, "", f"{shown(given)} is a fraction; {wanted}", f"write {value:.6g}{if_so}"
        )
    measure = _WITH_UNIT.fullmatch(text)
    if measure is not None:
        factor = _UNITS.get(unit, {}).get(measure[2].lower().rstrip("."))
        way = allowed
        if factor is not None:
            way = f"write {float(measure[1].replace(',', '.')) * factor:.6g}"
        return Problem("wrong-unit", "", f"{shown(given)} has a unit; {wanted}", way)
    return Problem("wrong-type", "", f"{shown(given)} is no number; {wanted}", allowed)


def measure(given: object) -> tuple[float | None, str]:
    """Return a number and its unit in small letters (or ""); (None, "") where it is no number."""
    if isinstance(given, bool):
        return None, ""
    if isinstance(given, int | float):
        return float(given), ""
    text = given.strip() if isinstance(given, str) else ""
    if re.fullmatch(_NUMBER, text):
        return float(text.replace(",", ".")), ""
    found = _WITH_UNIT.fullmatch(text)
    if found is None:
        return None, ""
    return float(found[1].replace(",", ".")), found[2].lower().rstrip(".")


def shown(value: object) -> str:
    """Return a value of a file as shown in messages."""
    if isinstance(value, str):
        short = value if len(value) <= 40 else f"{value[:40]}…"
        return f"'{short}'" if '"' in short else f'"{short}"'
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return f"{value:g}"
    if value is None:
        return "nothing"
    return "a list" if isinstance(value, tuple | list) else "a mapping of keys"
