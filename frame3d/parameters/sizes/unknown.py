"""The error for a name that is not in the tables of standard sizes."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


class UnknownSize(ValueError):  # noqa: N818 - it names what the reader meets
    """A name is not in the tables; `hint` names those that are."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


def unknown(what: str, name: str, known: Iterable[str], plain: str) -> UnknownSize:
    """Return the error for a name that is in no table, with similar names, or else all names."""
    names = list(known)
    near = difflib.get_close_matches(name.lower(), [n.lower() for n in names], n=3, cutoff=0.6)
    picked = [n for low in near for n in names if n.lower() == low]
    shown = f"nearest: {', '.join(picked)}" if picked else f"known: {', '.join(names)}"
    return UnknownSize(f"{name!r} is no known {what}", f"{shown}; or plain millimetres: {plain}")
