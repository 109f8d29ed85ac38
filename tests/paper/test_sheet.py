"""Sheets as DXF: read again in millimetres, and the same bytes every time."""

from __future__ import annotations

import io
import os
import subprocess
import sys

import ezdxf

from frame3d.paper.sheet import LAYERS
from tests.paper.samples import page


def test_dxf_is_read_again_without_errors_in_millimetres() -> None:
    doc = ezdxf.read(io.StringIO(page().dxf().decode()))  # type: ignore[attr-defined]
    auditor = doc.audit()
    assert not auditor.errors
    assert not auditor.fixes
    assert doc.dxfversion == "AC1024"  # R2010
    assert doc.units == ezdxf.units.MM  # type: ignore[attr-defined]
    names = {layer.dxf.name for layer in doc.layers}
    assert {layer.name for layer in LAYERS} <= names
    assert {e.dxf.layer for e in doc.modelspace()} <= {layer.name for layer in LAYERS}


def test_the_same_bytes_every_time_and_in_every_process() -> None:
    script = (
        "import hashlib\nfrom tests.paper.samples import page\n"
        "from frame3d.paper.render import pdf, svg\n"
        "s = page()\ns.text((9, 9), 'Ωμέγα Ž', 3.0)\n"
        "print(hashlib.sha256(s.dxf() + svg(s) + pdf([s], 't')).hexdigest())"
    )
    runs = {
        subprocess.run(
            [sys.executable, "-c", script],
            capture_output=True,
            text=True,
            check=True,
            env=os.environ | {"PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "4", "9")  # sets in three orders
    }
    assert len(runs) == 1
