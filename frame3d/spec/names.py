"""Names and free text that can be shown, stored and used for files on every system."""

from __future__ import annotations

import unicodedata
from typing import Annotated, Final

from pydantic import AfterValidator, Field

from frame3d.spec.base import Problem, refusal
from frame3d.spec.junctions import TARGETS

_DEVICES: Final = {"con", "prn", "aux", "nul"} | {
    f"{d}{n}" for d in ("com", "lpt") for n in "0123456789"
}
"""Names that some systems keep for devices."""


def unprintable(text: str, allowed: str = "") -> str | None:
    """The first control, formatting, surrogate or line separating character, but for `allowed`."""
    for char in text:
        category = unicodedata.category(char)
        if char not in allowed and (category[0] == "C" or category in ("Zl", "Zp")):
            return char
    return None


def _bike_name(name: str) -> str:
    way = "letters, digits, spaces and signs such as - + . ( ), e.g. Trail hardtail 29"
    bad = unprintable(name)
    wrong = ""
    if bad is not None:
        wrong = f"holds the character U+{ord(bad):04X}, which cannot be shown"
    elif not name.strip() or name != name.strip():
        wrong = "is empty or has spaces around it"
    elif "/" in name or "\\" in name:
        wrong = "holds a path separator, / or \\"
    elif name.startswith(".") or name.endswith("."):
        wrong = "starts or ends with a dot"
    elif name.partition(".")[0].strip().lower() in _DEVICES:
        wrong = "is kept for a device by some systems"
    elif len(name) > 80:
        wrong = f"has {len(name)} characters; 80 are allowed"
    if wrong:
        raise refusal(
            [Problem("bad-name", "", f"a bike's name names results, and this {wrong}", way)]
        )
    return name


def _free_text(text: str) -> str:
    bad = unprintable(text, "\n\t")
    if bad is not None:
        raise refusal(
            [Problem("bad-name", "", f"holds the character U+{ord(bad):04X}", "plain text only")]
        )
    return text


def _tube_name(name: str) -> str:
    if name in TARGETS:
        raise refusal(
            [
                Problem(
                    "bad-name",
                    "",
                    f"{name} already names a node of the frame",
                    "call the tube something else, e.g. brace",
                )
            ]
        )
    return name


BikeName = Annotated[str, AfterValidator(_bike_name)]
"""Name of a bike: shown, and used in the names of results."""
FreeText = Annotated[str, AfterValidator(_free_text)]
"""Text for people."""
TubeName = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]{0,59}$"), AfterValidator(_tube_name)]
"""Key of a tube."""
