"""Bikes side by side, against one bike alone: charts of five sizes, and a page of four bikes."""

from __future__ import annotations

import tempfile
from pathlib import Path

from tests.benchmarks.timing import ROOT, ratio, shown, side_by_side

FAMILY = ROOT / "configs" / "families" / "trail_full.yaml"
TARGET_CHARTS, TARGET_PAGE, TARGET_SIZE = 1.5, 2.0, 3_000_000


def measure(runs: int) -> list[tuple[str, str]]:
    """Rows of the report."""
    sizes = [f"{FAMILY}:{size}" for size in ("S", "M", "L", "XL")]
    with tempfile.TemporaryDirectory() as folder:
        charts = side_by_side(
            {
                "solve": ["-m", "frame3d", "solve", str(FAMILY)],
                "charts": [
                    "-m",
                    "frame3d",
                    "compare",
                    str(FAMILY),
                    "--size",
                    "all",
                    "--figures-only",
                ],
            },
            runs,
        )
        quiet = ["-q", "-o", folder]
        demos = [
            str(ROOT / "configs" / f"{n}.yaml") for n in ("trail_full_140", "enduro_170_mixed")
        ]
        pages = side_by_side(
            {
                "report": ["-m", "frame3d", "report", str(FAMILY), *quiet],
                "page": ["-m", "frame3d", "compare", *demos, *sizes[:2], *quiet],
            },
            max(1, runs // 2),
            allowed=(0, 1),
        )
        side_by_side({"two": ["-m", "frame3d", "compare", *demos, *quiet]}, 0)
        size = (Path(folder) / "compare.html").stat().st_size
    return [
        ("frame3d solve of one size", shown(charts["solve"])),
        ("frame3d compare --size all --figures-only, five sizes", shown(charts["charts"])),
        (f"ratio (target ≤ {TARGET_CHARTS})", ratio(charts["charts"], charts["solve"])),
        ("frame3d report of one size", shown(pages["report"])),
        ("frame3d compare of four bikes as a page", shown(pages["page"])),
        (f"ratio (target ≤ {TARGET_PAGE:g})", ratio(pages["page"], pages["report"])),
        (
            f"page of two bikes with rear suspension (target ≤ {TARGET_SIZE:,} bytes)",
            f"{size:,} bytes",
        ),
    ]
