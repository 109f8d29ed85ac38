"""The saddle: as long, wide and high as the file says, one piece down to its peg."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.mockup.drawing import Drawing
from frame3d.mockup.interfaces import SOCKET
from frame3d.mockup.options import KITS, PEG, Options
from frame3d.mockup.parts.saddle import saddle
from frame3d.mockup.solid import Z, bounds
from frame3d.parameters.models.mating import SaddleSpec
from tests.mockup.samples import drawing, layout


@pytest.mark.parametrize("scale", [1 / 2, 1 / 6, 1 / 10])
def test_it_is_the_files_saddle_at_scale_in_one_piece(scale: float) -> None:
    drawn = drawing(scale=scale)
    (part,) = saddle(drawn).parts
    spec = layout().spec.build.saddle or SaddleSpec()
    box = bounds(part.solid)
    assert np.ptp(box[:, 1]) == pytest.approx(spec.width * scale, rel=1e-3)
    assert box[1, 2] == pytest.approx(float(drawn.node("saddle")[2]), abs=1e-6)
    assert len(part.solid.decompose()) == 1
    # It prints lying on its flat top.
    assert part.down is Z
    low = part.solid.slice(box[1, 2] - 0.01)
    x0, y0, x1, y1 = low.bounds()
    assert x1 - x0 == pytest.approx(spec.length * scale, rel=0.02)
    assert y0 == pytest.approx(-y1, abs=1e-3)


def test_its_peg_goes_into_the_seat_tube_as_deep_as_the_socket() -> None:
    drawn = drawing()
    made = saddle(drawn)
    (joint,) = made.joints
    assert (joint.kind, joint.peg, joint.hole, joint.diameter) == ("fixed", "saddle", "frame", PEG)
    assert joint.depth < SOCKET * PEG
    foot, up = drawn.node("seat_tube_top"), np.array(drawn.place.seat_up)
    points = np.asarray(made.parts[0].solid.to_mesh64().vert_properties)[:, :3]
    assert ((points - foot) @ up).min() == pytest.approx(-joint.depth, abs=1e-6)
    assert joint.at == pytest.approx(foot - joint.depth / 2 * up)


def test_a_thin_post_is_thickened_and_told() -> None:
    drawn = Drawing(layout(), Options(1 / 12, KITS))
    saddle(drawn)
    told = {entry.size: entry for entry in drawn.ledger.entries}
    post = told["seatpost's diameter"]
    assert post.scaled == pytest.approx(31.6 / 12)
    assert post.printed == pytest.approx(PEG)
