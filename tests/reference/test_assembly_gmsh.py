"""The assembly's STEP read back by gmsh: names and places."""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest

from frame3d.bodies.motion.pose import placed_matrix
from tests.bodies.bike import body
from tests.formats.test_assembly import POSE, step_text

try:
    import gmsh
except (ImportError, OSError) as problem:  # OSError: a system library that its wheel loads
    if os.environ.get("CI"):
        raise
    pytest.skip(f"gmsh cannot be loaded here: {problem}", allow_module_level=True)


def test_parts_stand_where_the_pose_puts_them(tmp_path: Path) -> None:
    """Centres of mass of symmetric parts, by an independent reader; volumes by closed forms."""
    (tmp_path / "assembly.step").write_text(step_text())
    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.option.setNumber("Geometry.OCCImportLabels", 1)
        gmsh.model.occ.importShapes(str(tmp_path / "assembly.step"))
        gmsh.model.occ.synchronize()
        found = {gmsh.model.getEntityName(*s).split("/")[2]: s for s in gmsh.model.getEntities(3)}
        for name in ("front_tyre", "front_hub", "pedal_left", "fork_crown", "rear_tyre"):
            centre = gmsh.model.occ.getCenterOfMass(*found[name])
            assert centre == pytest.approx(
                placed_matrix(body(name).shapes[0], POSE)[:3, 3], abs=1e-2
            ), name
        volume = gmsh.model.occ.getMass(*found["front_tyre"])
        assert volume == pytest.approx(2 * np.pi**2 * 341.5 * 30.5**2, rel=1e-3)
    finally:
        gmsh.finalize()
