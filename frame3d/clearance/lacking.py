"""Names of what a check needs and the file does not give."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from frame3d.bodies import Absent
from frame3d.parameters.models.frame import FrameSpec

MANY = 6
"""From more alternatives than this on, they are not listed."""


def of_parts(absent: Iterable[Absent], sides: Sequence[Sequence[str]], otherwise: str) -> str:
    """Return what the file would have to give for the bodies of a check.

    Args:
        absent: bodies that the file gives too little for, with what each needs.
        sides: for each side of the check that has no body, its kinds by the beginning of their names;
            any one of them will do.
        otherwise: returned where nothing is known to be absent for some side.
    """
    said: dict[str, None] = {}
    for kinds in sides:
        needs: dict[str, None] = {}
        for one in absent:
            if any(one.name == kind or one.name.startswith(f"{kind}_") for kind in kinds):
                needs.update(dict.fromkeys(one.needs.split(" and ")))
        if not needs:
            return otherwise
        if len(needs) > MANY:
            said["any other part"] = None
        elif len(kinds) > 1:
            said[joined(list(needs), "or")] = None
        else:
            said.update(needs)
    return joined(list(said)) if said else otherwise


def of_file(spec: FrameSpec, paths: Sequence[str]) -> str:
    """Return those of some dotted paths that the file does not give; all of them if it gives each."""
    return joined([path for path in paths if not _given(spec, path)] or list(paths))


def joined(words: Sequence[str], last: str = "and") -> str:
    """Return words as a list in a sentence."""
    return f" {last} ".join((", ".join(words[:-1]), words[-1]) if len(words) > 1 else words)


def _given(spec: FrameSpec, path: str) -> bool:
    at: object = spec
    for key in path.split("."):
        at = at.get(key) if isinstance(at, dict) else getattr(at, key, None)
        if at is None or at == ():
            return False
    return True
