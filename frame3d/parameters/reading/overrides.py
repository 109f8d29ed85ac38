"""Apply overrides such as ``--set KEY=VALUE`` to the tree of a parameter file."""

from __future__ import annotations

from typing import NoReturn

from frame3d.errors import Fault, SourceLocation, SpecError
from frame3d.parameters.models.names import unprintable
from frame3d.parameters.reading.putting import Put, steps_of
from frame3d.parameters.reading.tree import MAX_DEPTH, Node, Scalar, parse


def override(root: Node | None, typed: str, option: str = "--set") -> Node:
    """Return the tree with one override applied; `root` is not changed.

    ``KEY=VALUE``: KEY is a dotted path, with numbers for places in a list
    (``tubes.chainstay.bends.0.radius``); VALUE is YAML under the same rules as the file's. What is
    missing on the way is created. ``KEY=null`` removes the key. One step beyond a list's end
    appends.

    Raises:
        SpecError: no KEY=VALUE, a VALUE that is no YAML, or a way that leads through a plain value.
    """
    shown = "".join("?" if unprintable(char) else char for char in typed)
    place = SourceLocation(f"{option} {shown if len(shown) <= 200 else shown[:200] + '…'}")
    path, separator, text = typed.partition("=")
    keys = steps_of(path)
    if not separator or not all(keys):
        _fail(place, "", "no override of the form KEY=VALUE", f"e.g. {option} geometry.reach=455")
    if len(keys) > MAX_DEPTH:
        _fail(place, "", "the path is deeper than a parameter file", "e.g. geometry.reach=455")
    bad = unprintable(text, "\n\t\r")
    if bad is not None:
        _fail(place, ".".join(keys), f"the value holds the character U+{ord(bad):04X}", "")
    parsed = parse(text, lambda line, column: place)
    if parsed.faults:
        raise SpecError(parsed.faults)
    new = parsed.root
    if new is None or (isinstance(new, Scalar) and new.plain and new.text == ""):
        hint = f"{option} {'.'.join(keys)}=null takes the key out"
        if text.lstrip().startswith("#"):
            hint = f"# starts a comment in YAML: write '{'.'.join(keys)}=\"{text.strip()}\"'"
        _fail(place, ".".join(keys), "nothing stands after =", hint)
    return Put(place, option).at(root, keys, new)


def _fail(place: SourceLocation, path: str, message: str, hint: str) -> NoReturn:
    raise SpecError(Fault("override", path, message, hint, place))
