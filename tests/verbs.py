"""Every verb asked about one bike, as plain data, for tests that hold them together."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from contextlib import redirect_stdout
from pathlib import Path
from typing import Any

import pytest

from frame3d.cli.commands import main


def verb_documents(
    file: Path,
    folder: Path,
    asked: Sequence[tuple[str, str]] = (),
    without: Sequence[str] = (),
) -> dict[str, Any]:
    """Return what each command says of a bike, by command, but for those in `without`.

    `asked` are options that all of them take. The scale model is without its stand, which takes ten times
    as long as the model, and stands where that does.

    Left out is what names files, and what the frame was before parts were exchanged.
    """
    given = [str(file), *(word for option in asked for word in option)]
    commands = {
        "solve": ["--mass"],
        "check": [],
        "build": ["-o", str(folder)],
        "mockup": ["-o", str(folder / "mockup"), "--scale", "1:8", "--no-stand"],
        "fabricate": ["-o", str(folder / "pack")],
        "report": ["-o", str(folder)],
    }
    found: dict[str, Any] = {}
    for command, options in commands.items():
        if command in without:
            continue
        out = io.StringIO()
        with redirect_stdout(out), pytest.raises(SystemExit) as left:
            main([command, *given, *options, "--json"])
        assert left.value.code in (0, 1), command
        document = json.loads(out.getvalue())
        for key in ("as_built", "files", "removed", "name", "size", "settings"):
            document.pop(key, None)
        found[command] = _without_ways_out(document)
    for table in sorted((folder / "pack").glob("*.csv")):
        with table.open(newline="", encoding="utf-8") as rows:
            found[table.name] = [[_value(cell) for cell in row] for row in csv.reader(rows)]
    return found


def _without_ways_out(document: Any) -> Any:
    """A document without what would mend a check, and without lines and notes of the file, and
    without the places that a mirror image may take.
    """
    if isinstance(document, dict):
        left_out = ("mend", "line", "column", "source", "notes", "points")
        out = {k: _without_ways_out(v) for k, v in document.items() if k not in left_out}
        if "steer" in out:
            # A bike is the same on both sides, so either may be found to be the tightest.
            out["steer"] = abs(out["steer"]) if isinstance(out["steer"], float) else out["steer"]
        return out
    if isinstance(document, list):
        return [_without_ways_out(v) for v in document]
    return document


def _value(cell: str) -> float | str:
    try:
        return float(cell)
    except ValueError:
        return cell
