"""Text output of ``frame3d mockup``."""

from __future__ import annotations

from typing import Any

from frame3d.caution import CAUTION
from frame3d.cli.request import leftovers
from frame3d.cli.tables import number, table
from frame3d.formats.writer import WrittenSet


def summary(result: dict[str, Any], written: WrittenSet) -> str:
    """Return plates, thickened dimensions, notes and files as text.

    Args:
        result: what mockup.json holds.
        written: the files.
    """
    size, balance = result["envelope"], result["balance"]
    material = result["material"]["name"]
    parts = [
        f"{result['name']} at {result['ratio']}: {size['length']:.1f} x {size['width']:.1f} x "
        f"{size['height']:.1f} mm, {len(result['parts'])} parts on {len(result['plates'])} plates, "
        f"{result['mass']:.0f} g of {material} if printed solid"
    ]
    parts.append(_plates(result))
    if result["thickened"]:
        parts.append(_thickened(result["thickened"]))
    if balance is not None:
        parts.append(
            f"Balance: the stand holds it until it is tipped by {balance['tips_at']:.0f}°; the centre "
            f"of mass is {balance['margin']:.0f} mm inside the base's edge."
        )
    if result["changes"]:
        parts.append(
            "Made otherwise so that it prints:\n" + "\n".join(f"- {c}" for c in result["changes"])
        )
    parts += [f"- {note}" for note in result["notes"]]
    files = written.files
    kinds = [path for path in files if not path.name.startswith("part_")]
    stl = len(files) - len(kinds)
    lines = [f"{path.stat().st_size:>12,} bytes  {path}" for path in kinds]
    total = sum(path.stat().st_size for path in files if path.name.startswith("part_"))
    lines.append(f"{total:>12,} bytes  {stl} parts as STL beside them")
    lines += leftovers(written.removed, written.kept)
    return "\n\n".join([*parts, "\n".join(lines), CAUTION])


def _plates(result: dict[str, Any]) -> str:
    rows = []
    for plate in result["plates"]:
        on = [part for part in result["parts"] if part["plate"] == plate["number"]]
        names = ", ".join(part["name"].replace("_", " ") for part in on)
        support = sum(part["support"] for part in on) / 1000
        rows.append(
            [str(plate["number"]), " ".join(plate["colours"]), names, number(plate["mass"], 0),
             number(support, 1)]
        )  # fmt: skip
    return table(["plate", "colour", "parts", "g", "support [cm³]"], rows, left=3)


def _thickened(entries: list[dict[str, Any]]) -> str:
    rows = [
        [
            e["part"].replace("_", " "),
            e["size"],
            *(number(e[k]) for k in ("scaled", "printed", "by")),
        ]
        for e in entries
    ]
    head = ["thickened", "size", "by scale [mm]", "printed [mm]", "more by [mm]"]
    return table(head, rows, left=2)
