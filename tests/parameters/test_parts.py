"""Parts: values of one part that do not go together."""

from __future__ import annotations

import pytest

from tests.parameters.faults import GEO, Row, hold, row_name

ROWS: list[Row] = [
    (
        GEO + "build: {fork: {axle_to_crown: 531}}\n",
        "missing-key",
        "build.fork.measured",
        (4, 15),
        "in two ways",
        "along_axis",
    ),
    (
        GEO + "build: {fork: {measured: straight}}\n",
        "inconsistent",
        "build.fork.measured",
        (4, 26),
        "not given",
        "leave measured out",
    ),
    (
        GEO + "build: {fork: {sag: 20%}}\n",
        "inconsistent",
        "build.fork.sag",
        (4, 21),
        "without travel",
        "travel",
    ),
    (
        GEO + "build: {headset: {upper: ZS44/30}}\n",
        "inconsistent",
        "build.headset.upper",
        (4, 26),
        "30 is a crown seat",
        "28.6",
    ),
    (
        GEO + "build: {bottom_bracket: {shell: t47-73, od: 46}}\n",
        "section",
        "build.bottom_bracket.od",
        (4, 45),
        "no metal",
        "50.8",
    ),
    (
        GEO + "build: {fork: {axle_to_crown: 300, measured: straight, travel: 300}}\n",
        "inconsistent",
        "build.fork.travel",
        (4, 64),
        "longer than the fork",
        "compresses",
    ),
    (
        GEO + "build: {front_wheel: {tyre: {width: 150, diameter: 290}}}\n",
        "inconsistent",
        "build.front_wheel.tyre.width",
        (4, 37),
        "no rim",
        "the whole wheel",
    ),
    (
        GEO + "build: {headset: {upper: {depth: 20}}}\n",
        "missing-key",
        "build.headset.upper.bore",
        (4, 26),
        "missing",
        "bore: 44",
    ),
    (
        GEO + "build: {bottom_bracket: {shell: {width: 73, od: 40, bore: 41}}}\n",
        "section",
        "build.bottom_bracket.shell.bore",
        (4, 59),
        "no metal",
        "less than 40",
    ),
    (
        GEO + "build: {bottom_bracket: {shell: {width: 73, od: 40, bore: 34}, od: 41}}\n",
        "inconsistent",
        "build.bottom_bracket.od",
        (4, 68),
        "stands in shell",
        "keep the one",
    ),
    (
        GEO + "build: {rider: {mass_kg: 80, height: 1000, inseam: 1100}}\n",
        "inconsistent",
        "build.rider.inseam",
        (4, 52),
        "longer than the rider",
        "barefoot",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)
