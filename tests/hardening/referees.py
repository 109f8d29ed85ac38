"""Readers that are not ours, over the files that a command wrote: what each refuses.

STEP: gmsh (through its own OpenCASCADE). STL: trimesh. 3MF: lib3mf of the 3MF Consortium, strict.
GLB: the Khronos glTF validator where node finds it (``npm install gltf-validator``, its folder in
``NODE_PATH``), else pygltflib. DXF: the audit of ezdxf. PDF: pdfium. SVG and HTML: Python's own
parsers. JSON: strict, without NaN.
"""

from __future__ import annotations

import csv
import json
import shutil
import subprocess
import xml.etree.ElementTree as ET
from collections.abc import Callable
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any, Final

import ezdxf
import pypdfium2
import trimesh
from ezdxf import recover

_VALIDATE: Final = """
const fs = require('fs'), validator = require('gltf-validator');
validator.validateBytes(new Uint8Array(fs.readFileSync(process.argv[1]))).then(report =>
  console.log(JSON.stringify(report.issues.messages.filter(m => m.severity < 2))));
"""


def refused(folder: Path) -> list[str]:
    """Return what readers refuse in a folder and below, a line for each file."""
    found = []
    for file in sorted(folder.rglob("*")):
        read = READERS.get(file.suffix)
        if read is None or not file.is_file():
            continue
        try:
            said = read(file)
        except Exception as error:
            said = f"{type(error).__name__}: {error}"
        if said:
            found.append(f"{file.relative_to(folder)}: {said}")
    return found


def _step(file: Path) -> str:
    """What gmsh does not read as solids of positive volume."""
    import gmsh

    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.logger.start()
        gmsh.model.occ.importShapes(str(file))
        gmsh.model.occ.synchronize()
        solids = gmsh.model.getEntities(3)
        volumes = [gmsh.model.occ.getMass(*solid) for solid in solids]
        bad = [line for line in gmsh.logger.get() if "Error" in line]
    finally:
        gmsh.finalize()
    if bad:
        return bad[0]
    return "" if volumes and min(volumes) > 0 else f"solids of volumes {volumes}"


def _stl(file: Path) -> str:
    mesh = trimesh.load_mesh(file)
    if not mesh.is_watertight or not mesh.is_winding_consistent:
        return "not watertight, or faces turned"
    return "" if mesh.volume > 0 else f"a volume of {mesh.volume}"


def _threemf(file: Path) -> str:
    import lib3mf

    model = lib3mf.Wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(file))
    if reader.GetWarningCount():
        return str(reader.GetWarning(0))
    objects = model.GetMeshObjects()
    while objects.MoveNext():
        one = objects.GetCurrentMeshObject()
        if not one.IsManifoldAndOriented():
            return f"{one.GetName()} is not manifold and oriented"
    return ""


@cache
def has_validator() -> bool:
    """Whether the Khronos glTF validator can be run here."""
    if shutil.which("node") is None:
        return False
    asked = ["node", "-e", "require('gltf-validator')"]
    return subprocess.run(asked, capture_output=True, check=False).returncode == 0


def _glb(file: Path) -> str:
    if has_validator():
        asked = ["node", "-e", _VALIDATE, str(file)]
        done = subprocess.run(asked, capture_output=True, text=True, check=True)
        issues = json.loads(done.stdout)
        return str(issues[0]) if issues else ""
    from pygltflib import GLTF2

    return "" if GLTF2().load(str(file)).meshes else "no mesh"


def _dxf(file: Path) -> str:
    document = ezdxf.readfile(file)
    audits = [document.audit(), recover.readfile(file)[1]]
    errors = [error.message for audit in audits for error in (*audit.errors, *audit.fixes)]
    return errors[0] if errors else ""


def _pdf(file: Path) -> str:
    document = pypdfium2.PdfDocument(file)
    blank = [n for n, page in enumerate(document) if page.render(scale=0.2).to_numpy().min() > 250]
    return f"pages {blank} are blank" if blank else "" if len(document) else "no page"


def _svg(file: Path) -> str:
    ET.fromstring(file.read_bytes())
    return ""


def _html(file: Path) -> str:
    parser = HTMLParser()
    parser.feed(file.read_text(encoding="utf-8"))
    parser.close()
    return ""


def _json(file: Path) -> str:
    def never(word: str) -> Any:
        raise ValueError(f"{word} is no JSON")

    json.loads(file.read_text(encoding="utf-8"), parse_constant=never)
    return ""


def _csv(file: Path) -> str:
    with file.open(newline="", encoding="utf-8") as rows:
        widths = {len(row) for row in csv.reader(rows, strict=True)}
    return "" if len(widths) == 1 else f"rows of {sorted(widths)} cells"


READERS: Final[dict[str, Callable[[Path], str]]] = {
    ".step": _step, ".stl": _stl, ".3mf": _threemf, ".glb": _glb, ".dxf": _dxf, ".pdf": _pdf,
    ".svg": _svg, ".html": _html, ".json": _json, ".csv": _csv,
}  # fmt: skip
