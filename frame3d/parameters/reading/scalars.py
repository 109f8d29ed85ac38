"""Scalars by the YAML 1.2 core schema, and ambiguities with YAML 1.1."""

from __future__ import annotations

import re
from typing import Final

Value = str | int | float | bool | None
"""Value of a scalar."""

LEAST: Final = 1e-6
"""Numbers closer to 0 are mistakes in any unit of the format, and would spoil whatever is divided by
them."""

_NULL: Final = {"", "~", "null", "Null", "NULL"}
_BOOL: Final = {
    "true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False,
}  # fmt: skip
_SPECIAL: Final = {
    f"{sign}.{name}": float(sign + low)
    for sign in ("", "+", "-")
    for low, names in (("inf", ("inf", "Inf", "INF")), ("nan", ("nan", "NaN", "NAN")))
    for name in names
    if low == "inf" or not sign
}
_INT: Final = re.compile(r"[-+]?[0-9]+")
_FLOAT: Final = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")

_WORDS: Final = {
    "yes": "true",
    "on": "true",
    "y": "true",
    "no": "false",
    "off": "false",
    "n": "false",
}
_SIXTIES: Final = re.compile(r"[-+]?[0-9][0-9_]*(:[0-5]?[0-9])+(\.[0-9_]*)?")
_LEADING_ZERO: Final = re.compile(r"[-+]?0[0-9_]+")
_BASED: Final = re.compile(r"[-+]?0(o[0-7_]+|x[0-9a-fA-F_]+|b[01_]+)")
_GROUPED: Final = re.compile(r"(?=.*_)(?=[-+_.]*[0-9])[-+]?[0-9_]*\.?[0-9_]*([eE][-+]?[0-9_]+)?")
_BARE_EXPONENT: Final = re.compile(
    r"[-+]?([0-9]+[eE][-+]?[0-9]+|([0-9]*\.[0-9]+|[0-9]+\.)[eE][0-9]+)"
)
_SIGNED_DOT: Final = re.compile(r"[-+]\.[0-9]+([eE][-+]?[0-9]+)?")
_DATE: Final = re.compile(r"[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}([Tt \t].*)?")


def value(text: str) -> Value:
    """Return the value of an unquoted scalar by the YAML 1.2 core schema; decimal numbers only.

    Whole numbers of more than 18 digits become floats.
    """
    if text in _NULL:
        return None
    if text in _BOOL:
        return _BOOL[text]
    if text in _SPECIAL:
        return _SPECIAL[text]
    if _INT.fullmatch(text):
        return int(text) if len(text) <= 18 else float(text)
    return float(text) if _FLOAT.fullmatch(text) else text


def word_trap(text: str) -> tuple[str, str] | None:
    """Return what `trap` does for words that are booleans in YAML 1.1."""
    word = _WORDS.get(text.lower())
    if word is None or not (text.islower() or text.isupper() or text.istitle()):
        return None
    return (
        f"{text} is text to some YAML readers and {word} to others",
        f'write {word}, or "{text}" in quotes where the word is meant',
    )


def trap(text: str) -> tuple[str, str] | None:
    """Return why an unquoted number or date is ambiguous and what to write instead; else None.

    Ambiguous is what YAML 1.1 and 1.2, which are both in use, read differently.
    """
    if _SIXTIES.fullmatch(text):
        return (
            f"{text} is text to some YAML readers and a number in sixties to others",
            f'write one plain number, or "{text}" in quotes where text is meant',
        )
    if _BASED.fullmatch(text):
        return (
            f"{text} is no decimal number, and readers differ on what it is",
            f"write it in decimal: {_decimal(text)}",
        )
    if _LEADING_ZERO.fullmatch(text):
        plain = text.lstrip("-+0").replace("_", "") or "0"
        sign = "-" if text[0] == "-" else ""
        return (
            f"{text} starts with a zero, which some YAML readers take for an octal number",
            f'write {sign}{plain}, or "{text}" in quotes where text is meant',
        )
    if _GROUPED.fullmatch(text):
        return (
            f"{text} is text to some YAML readers and a number to others",
            f"write {text.replace('_', '')}",
        )
    if _BARE_EXPONENT.fullmatch(text) or _SIGNED_DOT.fullmatch(text):
        number = float(text)
        plain = f"{number:.12g}"
        way = f"write {plain}" if "e" not in plain and "inf" not in plain else "write it in full"
        return (f"{text} is a number to some YAML readers and text to others", way)
    if _DATE.fullmatch(text):
        return (
            f"{text} is text to some YAML readers and a date to others",
            f'write "{text}" in quotes',
        )
    return None


def _decimal(text: str) -> str:
    """Return a number of another base as decimal text."""
    digits = text.lower().replace("_", "")
    try:
        return str(int(digits, 0)) if len(digits) <= 18 else "in full"
    except ValueError:
        return "in full"
