"""`frame3d solve` from a cold process, against importing the libraries that it stands on."""

from __future__ import annotations

import json

from tests.benchmarks.timing import DEMO, MINIMAL, python, ratio, shown, side_by_side

TARGET = 2.5
IMPORTS = "import numpy, pydantic, ruamel.yaml"
FORBIDDEN = ("cadquery", "OCP", "scipy", "trimesh", "manifold3d")
LOADED = """
import atexit, json, sys
atexit.register(lambda: print("\\n" + json.dumps(sorted(sys.modules))))
from frame3d.cli.commands import main
main(["solve", sys.argv[1], "-q"])
"""


def measure(runs: int) -> list[tuple[str, str]]:
    """Rows of the report."""
    times = side_by_side(
        {
            "imports": ["-c", IMPORTS],
            "empty": ["-c", "pass"],
            "solve": ["-m", "frame3d", "solve", str(DEMO)],
            "json": ["-m", "frame3d", "solve", str(DEMO), "--json"],
            "minimal": ["-m", "frame3d", "solve", str(MINIMAL)],
            "sensitivity": ["-m", "frame3d", "solve", str(DEMO), "--sensitivity"],
        },
        runs,
    )
    _, out = python(["-c", LOADED, str(DEMO)])
    loaded = {name.partition(".")[0] for name in json.loads(out.splitlines()[-1])}
    found = [name for name in FORBIDDEN if name in loaded]
    what = {
        "an interpreter that does nothing": "empty",
        f"python -c '{IMPORTS}'": "imports",
        "frame3d solve": "solve",
        "frame3d solve --json": "json",
        "frame3d solve --sensitivity": "sensitivity",
        "frame3d solve of a file without tubes": "minimal",
    }
    return [
        *((name, shown(times[key])) for name, key in what.items()),
        (f"ratio solve / imports (target ≤ {TARGET})", ratio(times["solve"], times["imports"])),
        (f"loaded of {', '.join(FORBIDDEN)}", ", ".join(found) or "none"),
    ]
