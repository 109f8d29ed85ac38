"""The whole scale model of the demo, against OCCT's own fuse of the same frame's solids and its STL."""

from __future__ import annotations

import json
import tempfile

from tests.benchmarks.timing import DEMO, Took, python, ratio, shown

TARGET = 0.5
MEMORY = 1.5
"""Most memory [GB]."""

FUSE = """
import json, sys, time
import frame3d
model = frame3d.build(frame3d.solve(frame3d.load(sys.argv[1])))
from OCP.BRepAlgoAPI import BRepAlgoAPI_Fuse
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.StlAPI import StlAPI_Writer
from OCP.TopTools import TopTools_ListOfShape
wall, cpu = time.perf_counter(), time.process_time()
first, others = TopTools_ListOfShape(), TopTools_ListOfShape()
first.Append(model.parts[0].shape)
for part in model.parts[1:]:
    others.Append(part.shape)
fuse = BRepAlgoAPI_Fuse()
fuse.SetArguments(first)
fuse.SetTools(others)
fuse.Build()
BRepMesh_IncrementalMesh(fuse.Shape(), 0.05, False, 0.2, True)
assert StlAPI_Writer().Write(fuse.Shape(), sys.argv[2] + "/fused.stl")
print(json.dumps([time.perf_counter() - wall, time.process_time() - cpu]))
"""
OURS = """
import json, resource, sys
from frame3d.cli.commands import main
try:
    main(["mockup", sys.argv[1], "-q", "-o", sys.argv[2] + "/model"])
except SystemExit as left:
    assert left.code == 0
print(json.dumps(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss))
"""


def measure(runs: int) -> list[tuple[str, str]]:
    """Rows of the report; our time is the whole process, the kernel's only its fuse and its STL."""
    with tempfile.TemporaryDirectory() as folder:
        arguments = [str(DEMO), folder]
        command = ["-m", "frame3d", "mockup", str(DEMO), "-q", "-o", f"{folder}/out"]
        python(command)  # fills the file cache
        ours, fused = [], []
        for _ in range(runs):
            ours.append(python(command)[0])
            fused.append(Took(*json.loads(python(["-c", FUSE, *arguments])[1])))
        memory = json.loads(python(["-c", OURS, *arguments])[1]) / 1e6
    return [
        ("frame3d mockup, the whole process", shown(ours)),
        ("OCCT: fuse of the frame's solids and STL", shown(fused)),
        (f"ratio (target ≤ {TARGET})", ratio(ours, fused)),
        (f"most memory (target ≤ {MEMORY} GB)", f"{memory:.2f} GB"),
    ]
