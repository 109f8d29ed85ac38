"""Names and free text that can be shown, stored and used for files on every system."""

from __future__ import annotations

import unicodedata
from typing import Annotated, Any, Final

from pydantic import AfterValidator, Field

from frame3d.parameters.models.base import Problem, refusal
from frame3d.parameters.models.junctions import TARGETS

_DEVICES: Final = {"con", "prn", "aux", "nul"} | {
    f"{d}{n}" for d in ("com", "lpt") for n in "0123456789"
}
"""Names that some systems reserve for devices."""


_NOT_IN_FILES: Final = dict.fromkeys(map(ord, '/\\:*?"<>|'), "-")
"""Characters that some systems do not allow in file names, and their replacement."""

LINE: Final = 80
"""Most characters of a line of text."""
_UNPRINTABLE: Final = {"Cc", "Cf", "Cs", "Zl", "Zp"}


def unprintable(text: str, allowed: str = "") -> str | None:
    """Return the first control, formatting, surrogate or line separator character not in `allowed`."""
    bad = {
        char
        for char in set(text).difference(allowed)
        if unicodedata.category(char) in _UNPRINTABLE or ord(char) & 0xFFFE == 0xFFFE
    }
    return min(bad, key=text.index) if bad else None


def wrong_with(name: str) -> str:
    """Return why a text cannot be a bike's name, as the end of a sentence; empty where it can."""
    bad = unprintable(name)
    if bad is not None:
        return f"holds the character U+{ord(bad):04X}, which cannot be shown"
    if not name.strip() or name != name.strip():
        return "is empty or has spaces around it"
    if name.startswith(".") or name.endswith("."):
        return "starts or ends with a dot"
    if name.partition(".")[0].strip().lower() in _DEVICES:
        return "is kept for a device by some systems"
    if len(name) > 80:
        return f"has {len(name)} characters; 80 are allowed"
    return ""


def file_name(name: str) -> str:
    """Return a bike's name for use in file names, with forbidden characters as dashes.

    ``29/27.5`` becomes ``29-27.5``: one file name, not a name in a folder.
    """
    return name.translate(_NOT_IN_FILES)


def _bike_name(name: str) -> str:
    wrong = wrong_with(name)
    if wrong:
        way = "letters, digits, spaces and signs such as - + / ( ), e.g. Trail hardtail 29"
        raise refusal([Problem("bad-name", "", f"the name {wrong}", way)])
    return name


def _free_text(text: str) -> str:
    bad = unprintable(text, "\n\t")
    if bad is not None:
        raise refusal(
            [Problem("bad-name", "", f"holds the character U+{ord(bad):04X}", "plain text only")]
        )
    return text


def _one_line(text: str) -> str:
    bad = unprintable(text)
    wrong = ""
    if bad is not None:
        wrong = f"holds the character U+{ord(bad):04X}, which cannot be shown"
    elif not text.strip() or text != text.strip():
        wrong = "is empty or has spaces around it"
    elif len(text) > LINE:
        wrong = f"has {len(text)} characters; {LINE} are allowed"
    if wrong:
        raise refusal([Problem("bad-name", "", f"the text {wrong}", "one line of plain text")])
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


_NAME_SCHEMA = {
    "pattern": r"^[^\s.\u0000-\u001f]([^\u0000-\u001f]{0,78}[^\s.\u0000-\u001f])?$",
    "minLength": 1,
    "maxLength": 80,
}
BikeName = Annotated[
    str, AfterValidator(_bike_name), Field(json_schema_extra=dict[str, Any](_NAME_SCHEMA))
]
"""Name of a bike: shown, and written into results."""
OneLine = Annotated[
    str,
    AfterValidator(_one_line),
    Field(
        json_schema_extra={
            "pattern": r"^[^\s\u0000-\u001f]([^\u0000-\u001f]*[^\s\u0000-\u001f])?$",
            "minLength": 1,
            "maxLength": LINE,
        }
    ),
]
"""One line of text for people, which names no file."""
FreeText = Annotated[str, AfterValidator(_free_text)]
"""Text for people."""
TubeName = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]{0,59}$"), AfterValidator(_tube_name)]
"""Key of a tube."""
PointName = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]{0,59}$")]
"""Key of a point of the rear suspension."""
LinkName = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]{0,59}$")]
"""Key of one of its links."""
