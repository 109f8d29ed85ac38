"""Faults and notes about a parameter file: what is wrong, where, and how to correct it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final
from unicodedata import category

CODES: Final[dict[str, str]] = {
    # reading the file
    "file-missing": "the file cannot be opened",
    "file-too-large": "the file is larger than a parameter file may be",
    "file-encoding": "the file is not UTF-8 text",
    "yaml-syntax": "the text is not well-formed YAML",
    "yaml-alias": "aliases are nested or repeated beyond reason",
    "yaml-depth": "values nested deeper than a parameter file may be",
    "yaml-tag": "an explicit tag, which the format has no use for",
    "yaml-trap": "a value that YAML readers take in two ways",
    "duplicate-key": "a key stands twice in one mapping",
    "unknown-key": "a key that the format does not know",
    "missing-key": "a key that the format asks for is absent",
    "wrong-type": "a value of the wrong kind",
    "wrong-unit": "a value with a unit where a bare number is asked for",
    "not-finite": "a number that is infinite or not a number",
    "out-of-range": "a number outside what the figure can be",
    "not-allowed": "a value that is none of those allowed",
    "unknown-size": "a standard size that the tables do not hold",
    "bad-name": "a name that cannot be used",
    "inconsistent": "values of one part that do not go together",
    "override": "an override that cannot be applied",
    "comparison": "bikes that cannot be set side by side",
    # the chart
    "under-determined": "figures are missing",
    "contradictory": "figures disagree",
    "impossible": "no bicycle can have these figures",
    "no-convergence": "the solver found no solution",
    # tubes
    "junction-target": "an end names something that does not exist",
    "junction-cycle": "ends lean on each other in a circle",
    "junction-miss": "an end does not meet its target",
    "bend": "a bend that does not fit its tube or its legs",
    "section": "a section that cannot be made",
    "butt": "butts that do not fit the tube",
    "stock": "a tube that can be cut from none of the shop's own",
    "solid": "the CAD kernel could not make a solid",
    # rear suspension
    "mechanism": "links that lock, come apart, flip over, or move in more than one way",
    "shock": "a shock that does not fit its ends, or that the linkage cannot use",
    "travel": "a wheel travel that the linkage does not reach",
    # output
    "output": "a result cannot be written",
    "dependency": "a library that this command needs is missing",
    "engine": "what evaluates designs cannot be reached, or was lost",
    # frame3d itself
    "defect": "an error of frame3d's own, to be reported",
}
"""Every fault code with its meaning; codes do not change, so that scripts can use them."""


_HIDDEN: Final = {"Cc", "Cf", "Cs", "Zl", "Zp"}
"""Categories of characters that show nothing, and that terminals may take for orders."""
_JOINERS: Final = "\u00ad\u200c\u200d"
"""Soft hyphen and joiners: hidden too, harmless, and part of some languages' words."""


def printable(text: str, keep: str = "") -> str:
    r"""Return a text with control and formatting characters as escapes, ``\x1b``, ``\u202e``.

    Args:
        text: any.
        keep: such characters that stay, e.g. line ends.
    """
    if text.isascii() and text.isprintable():
        return text
    kept = keep + _JOINERS
    return "".join(c if c in kept or category(c) not in _HIDDEN else ascii(c)[1:-1] for c in text)


@dataclass(frozen=True, slots=True)
class SourceLocation:
    """The source of a value: a line of the parameter file, or an override."""

    source: str
    """File name as given, or the override as typed, e.g. ``--set geometry.reach=1``."""
    line: int | None = None
    """1-based; None for an override."""
    column: int | None = None
    """1-based."""
    text: str = ""
    """The line itself, without its line end."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: its stable code, dotted path, message, hint how to correct it, and source."""

    code: str
    path: str
    message: str
    hint: str = ""
    place: SourceLocation | None = None

    def __post_init__(self) -> None:
        if self.code not in CODES:
            raise ValueError(f"undocumented fault code {self.code!r}")

    def render(self) -> str:
        """The fault as the user reads it, over two to five lines, no trailing newline.

        What is not printable in it, from a key or a file's name, is escaped.
        """
        where = ""
        shown: list[str] = []
        if self.place is not None:
            where = printable(self.place.source)
            if self.place.line is not None:
                where += f":{self.place.line}:{self.place.column or 1}"
                # A tab counts as one column in `column`; show it as one space so the caret lines up.
                text = printable(self.place.text.replace("\t", " "))
                gutter = f"{self.place.line:>6} | "
                if text.strip():
                    shown.append(gutter + text)
                    shown.append(" " * (len(gutter) + (self.place.column or 1) - 1) + "^")
            where += ": "
        subject = f"{printable(self.path)}: " if self.path else ""
        lines = [f"{where}{subject}{printable(self.message)} [{self.code}]", *shown]
        if self.hint:
            hint = printable(self.hint, keep="\n")  # one way out a line
            lines.append(f"  {hint}")
        return "\n".join(lines)


@dataclass(frozen=True, slots=True)
class Note:
    """A message that is not a fault: an assumption, a second solution, a warning."""

    code: str
    """Stable: ``assumed``, ``redundant``, ``other-solution``, ``warning``, ``default``, ``solved``,
    ``exchanged``."""
    message: str
    path: str = ""
    place: SourceLocation | None = None

    def render(self) -> str:
        """Return the note on one line."""
        where = ""
        if self.place is not None:
            where = self.place.source
            if self.place.line is not None:
                where += f":{self.place.line}"
            where += ": "
        return printable(f"{where}{self.path + ': ' if self.path else ''}{self.message}")


class FrameError(Exception):
    """Base of all errors by wrong input; carries every fault found, at least one."""

    def __init__(self, faults: Fault | Iterable[Fault]) -> None:
        self.faults: Sequence[Fault] = (faults,) if isinstance(faults, Fault) else tuple(faults)
        if not self.faults:
            raise ValueError("a FrameError needs at least one fault")
        super().__init__("\n".join(f.render() for f in self.faults))


class SpecError(FrameError):
    """The parameter file cannot be read, or contains something that the format does not allow."""


class GeometryError(FrameError):
    """The chart figures do not determine one possible bicycle."""


class TubeError(FrameError):
    """A tube, its section or a junction cannot be made as described."""


class LinkageError(FrameError):
    """The rear suspension cannot be assembled, or does not move as it should."""


class SolidError(FrameError):
    """The CAD kernel could not make a solid."""


class MockupError(FrameError):
    """The scale model cannot be made as asked."""


class OutputError(FrameError):
    """A result could not be written; older files are unchanged."""


def of_size(error: FrameError, size: str) -> FrameError:
    """Return the same error with the name of the size that it belongs to in each message."""
    return type(error)(
        replace(fault, message=f"in size {size}: {fault.message}") for fault in error.faults
    )
