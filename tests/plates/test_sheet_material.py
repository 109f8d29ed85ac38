"""What a flat part is cut from."""

from __future__ import annotations

from frame3d.parameters.models.frame import FrameSpec, MaterialSpec
from frame3d.plates.sheet_material import sheet_material
from tests.bikes import hardtail_data


def test_its_own_material_comes_before_the_frame_s() -> None:
    spec = FrameSpec.model_validate(hardtail_data())
    assert sheet_material(spec) == ("4130", 7.85)
    assert sheet_material(spec, "6061-T6")[0] == "6061-T6"
    own = MaterialSpec.model_validate({"name": "plate 7", "density_g_cm3": 2.8})
    assert sheet_material(spec, own) == ("plate 7", 2.8)
