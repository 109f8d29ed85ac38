"""`frame3d build` of the demo in all formats, against the bare script that makes the same solids."""

from __future__ import annotations

import json
import statistics
import tempfile
import time
from pathlib import Path

from tests.benchmarks.timing import DEMO, python, ratio, shown, side_by_side

TARGET = 1.5


def stages(folder: str) -> dict[str, float]:
    """Seconds of each stage of a build, in this process, imports where they fall."""
    took: dict[str, float] = {}
    last = time.perf_counter()

    def done(name: str) -> None:
        nonlocal last
        now = time.perf_counter()
        took[name] = took.get(name, 0.0) + now - last
        last = now

    import frame3d
    from frame3d.bike.solve import solve  # noqa: F401
    from frame3d.parameters.reading.reader import load  # noqa: F401

    done("import what solve needs")
    spec = frame3d.load(DEMO)
    done("load")
    layout = frame3d.solve(spec)
    done("solve")
    from frame3d.solids import build_parts

    done("import the CAD kernel")
    from frame3d.solids import mesh as meshing
    from frame3d.solids import occ

    plain_check, plain_mesh, plain_bulk = build_parts.check_part, build_parts.part_mesh, occ.bulk
    inside = {"meshes of parts": 0.0, "checks of parts": 0.0, "volumes": 0.0}

    def timed(name, call):  # type: ignore[no-untyped-def]
        def wrapper(*args, **kwargs):  # type: ignore[no-untyped-def]
            begin = time.perf_counter()
            try:
                return call(*args, **kwargs)
            finally:
                inside[name] += time.perf_counter() - begin

        return wrapper

    build_parts.check_part = timed("checks of parts", plain_check)
    build_parts.part_mesh = timed("meshes of parts", plain_mesh)
    occ.bulk = timed("volumes", plain_bulk)
    model = frame3d.build(layout)
    done("solids, with all that follows in brackets")
    from frame3d.formats import document_of
    from frame3d.formats.documents import dumps
    from frame3d.formats.glb import glb
    from frame3d.formats.step import step
    from frame3d.formats.stl import stl
    from frame3d.formats.threemf import threemf

    done("import exporters")
    files = {}
    files["frame.step"] = step(model)
    done("STEP")
    files["frame.stl"] = stl(model, meshing.TOLERANCE)
    done("STL")
    files["frame.3mf"] = threemf(model, model.meshes)
    done("3MF")
    files["frame.glb"] = glb(model)
    done("GLB")
    files["geometry.json"] = dumps(document_of(model)).encode()
    done("geometry.json")
    for name, data in files.items():
        (Path(folder) / name).write_bytes(data)
    done("write")
    took |= {f"  ({name})": seconds for name, seconds in inside.items()}
    return took | {"volume of parts": model.volume}


def measure(runs: int) -> list[tuple[str, str]]:
    """Rows of the report."""
    with tempfile.TemporaryDirectory() as folder:
        recipe = f"{folder}/recipe.json"
        python(["-m", "tests.benchmarks.recipe", str(DEMO), recipe])
        bare = ["-m", "tests.benchmarks.bare_cadquery", recipe, folder]
        times = side_by_side(
            {
                "build": ["-m", "frame3d", "build", str(DEMO), "-q", "-o", f"{folder}/out"],
                "bare": bare,
                "bare fused": [*bare, "--fuse"],
            },
            runs,
        )
        details = json.loads(python([*bare, "--fuse"])[1])
        code = (
            "import json; from tests.benchmarks.build import stages;"
            f"print(json.dumps(stages({folder!r})))"
        )
        ours = [json.loads(python(["-c", code])[1]) for _ in range(max(1, runs // 2))]
    volume = details.pop("volume of parts")
    own = [o.pop("volume of parts") for o in ours]
    return [
        ("frame3d build, all formats", shown(times["build"])),
        ("bare cadquery, STL of the parts as they are", shown(times["bare"])),
        ("bare cadquery, STL of the parts fused to one", shown(times["bare fused"])),
        (f"ratio to the bare script (target ≤ {TARGET})", ratio(times["build"], times["bare"])),
        ("ratio to the bare script that fuses", ratio(times["build"], times["bare fused"])),
        ("volume of the parts, frame3d and bare script", f"{own[0]:.0f} and {volume:.0f} mm³"),
        *((f"bare script: {name}", f"{seconds:.2f} s") for name, seconds in details.items()),
        *(
            (f"frame3d: {name}", f"{statistics.median(o[name] for o in ours):.2f} s")
            for name in ours[0]
        ),
    ]
