"""`frame3d report` of the demo, against making the GLB alone, and how soon the page shows the model."""

from __future__ import annotations

import statistics
import tempfile
import time
from pathlib import Path

from tests.benchmarks.timing import DEMO, ratio, shown, side_by_side

TARGET, TARGET_FRAME, TARGET_SIZE = 1.3, 3.0, 3_000_000
GLB = """
import sys
from pathlib import Path
import frame3d
from frame3d.bodies import bodies_of
from frame3d.bodies.motion.pose import Pose
from frame3d.formats.assembly import assembly_glb
layout = frame3d.solve(frame3d.load(sys.argv[1]))
data = assembly_glb(frame3d.build(layout), bodies_of(layout), Pose())
Path(sys.argv[2]).write_bytes(data)
"""
"""`build`, of all its files the GLB alone."""
MESHED = """
import sys
from pathlib import Path
import frame3d
from frame3d.bodies import bodies_of
from frame3d.report.meshes import meshes_of
layout = frame3d.solve(frame3d.load(sys.argv[1]))
Path(sys.argv[2]).write_bytes(meshes_of(layout, bodies_of(layout)).glb)
"""
"""The report's own way to the GLB, which needs no CAD kernel."""


def measure(runs: int) -> list[tuple[str, str]]:
    """Rows of the report."""
    with tempfile.TemporaryDirectory() as folder:
        times = side_by_side(
            {
                "report": ["-m", "frame3d", "report", str(DEMO), "-q", "-o", folder],
                "glb": ["-c", GLB, str(DEMO), f"{folder}/frame.glb"],
                "meshed": ["-c", MESHED, str(DEMO), f"{folder}/meshed.glb"],
                "check": ["-m", "frame3d", "check", str(DEMO), "-q"],
            },
            runs,
        )
        page = Path(folder) / "report.html"
        size = page.stat().st_size
        frames = [_first_frame(page) for _ in range(max(1, runs // 2))]
    return [
        ("frame3d report", shown(times["report"])),
        ("build of the GLB alone", shown(times["glb"])),
        (f"ratio to it (target ≤ {TARGET})", ratio(times["report"], times["glb"])),
        ("the GLB from meshes, without the CAD kernel", shown(times["meshed"])),
        ("ratio to that", ratio(times["report"], times["meshed"])),
        ("frame3d check, which is part of the report", shown(times["check"])),
        (f"the page (target ≤ {TARGET_SIZE:,} bytes)", f"{size:,} bytes"),
        (
            f"from opening it to the model's first picture (target ≤ {TARGET_FRAME:g} s)",
            f"{statistics.median(frames):.2f} s",
        ),
    ]


def _first_frame(page: Path) -> float:
    """Seconds from opening a page to the first picture of its model, in headless Chromium."""
    from tests.report.browser import chromium, quiet_page

    with chromium() as browser, quiet_page(browser) as tab:
        begin = time.perf_counter()
        tab.goto(page.as_uri(), wait_until="commit")
        tab.wait_for_selector("#bike-model[data-ready]")
        return time.perf_counter() - begin
