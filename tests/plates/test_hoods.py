"""Flat dropouts weigh what their solids do."""

from __future__ import annotations

import pytest

import frame3d
from frame3d.plates.hoods import hoods_of
from tests.plates.test_dropouts import OWN, SLIDING, bike

STOPPED = SLIDING | {"slide": {"length": 16, "at": 6, "stop": "M5"}}


@pytest.mark.parametrize(
    "dropout",
    [
        STOPPED | {"hood": {"wall": 2, "depth": 12, "back": 4}},
        {
            "kind": "hooded",
            "outline": OWN | {"pockets": [{"at": [0, 0], "diameter": 26, "depth": 2}]},
        },
    ],
)
def test_volume_is_that_of_the_solid(dropout: dict[str, object]) -> None:
    made = bike(dropout)
    solids = {part.name: part.volume for part in frame3d.build(made).parts}
    for one in made.dropouts:
        assert one.plate is not None
        assert one.plate.volume == pytest.approx(solids[one.name], rel=2e-3)


def test_each_stay_has_its_hood() -> None:
    made = bike({"kind": "hooded"})
    tubes = {tube.name: tube for tube in made.tubes}
    for one in made.dropouts:
        found = list(hoods_of(one, tubes))
        assert [stay.name for _, stay in found] == [name for name, _ in one.stays]
        for bar, stay in found:
            assert bar.axis.length == pytest.approx(13)  # 8 over the stay, 5 behind its end
            assert bar.section.height[0] == pytest.approx(stay.section.height[-1] + 3)
            assert float(bar.envelope.depth(stay.axis.at(stay.axis.length)[None])[0]) > 0
