"""The bike on a climb, drawn."""

from __future__ import annotations

import math
import re

import pytest

from frame3d.bike.solve import solve
from frame3d.parameters import load
from frame3d.report.ride_sections.slope_picture import picture
from frame3d.report.texts import texts
from tests.report.samples import CONFIGS, bare

SAY = texts()


def test_the_line_of_gravity_meets_the_ground_between_the_wheels() -> None:
    data = bare(solve(load(CONFIGS / "adventure_rigid.yaml")))
    part = data.ride.slopes
    assert part is not None
    seated = part.posture("seated")
    assert seated is not None
    svg = picture(data, seated, 20, SAY)
    turn = re.search(r'transform="rotate\((-[\d.]+) ', svg)
    assert turn is not None
    assert float(turn.group(1)) == pytest.approx(-math.degrees(math.atan(0.2)), abs=0.005)

    def line(class_: str) -> list[list[float]]:
        path = re.search(rf'<path d="M([^"]*)" class="{class_}">', svg)
        assert path is not None
        return [[float(v) for v in point.split()] for point in path.group(1).split("L")]

    ground, plumb = line("ground"), line("plumb")
    (x0, y0), (x1, y1) = ground
    assert (y0 - y1) / (x1 - x0) == pytest.approx(0.2, abs=1e-3)
    assert plumb[0][0] == plumb[1][0]
    foot = plumb[1]
    assert foot[1] == pytest.approx(y0 - 0.2 * (foot[0] - x0), abs=0.2)
    # Along the slope from the rear contact it divides the wheelbase as the front wheel's share does.
    rear = data.side.at("rear_contact")[0]
    along = (foot[0] - rear) * math.hypot(1, 0.2)
    at = seated.on(20)
    share = at.front_share_percent.middle / 100
    assert along / at.wheelbase == pytest.approx(share, abs=2e-3)
