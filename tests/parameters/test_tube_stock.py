"""The file of the shop's own tubes: what is wrong in it is told with its line."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.errors import SpecError
from frame3d.parameters.reading.tube_stock import loads_tube_stock, read_tube_stock

HEAD = "format: 1\nname: Rack\ntubes:\n"
GOOD = 'name: A, od: 28.6, wall: 0.8, length: 600, material: "4130"'


def test_the_demo_is_read() -> None:
    stock = read_tube_stock(Path("configs/stock/rack.yaml"))
    assert len(stock.spec.tubes) == 8
    assert stock.line(0) == 7


@pytest.mark.parametrize(
    ("tube", "path", "message"),
    [
        (GOOD.replace("600", "0"), "tubes.0.length", ""),
        (GOOD.replace("length", "lenght"), "tubes.0.lenght", ""),
        (GOOD.replace("0.8", "15"), "tubes.0.wall", "leaves no bore"),
        (
            GOOD.replace("0.8", "{butted: [0.8, 0.5, 0.8], lengths: [300, 250], transition: 50}"),
            "tubes.0.wall",
            "take 650 mm of a tube of 600 mm",
        ),
        (
            GOOD.replace("0.8", "{butted: [0.8, 0.5], lengths: [300, 250], transition: 50}"),
            "tubes.0.wall.lengths",
            "2 walls need 1 butt length, there are 2",
        ),
        (
            GOOD.replace("28.6", "{start: 28.6, end: 20, after: 400, over: 300}"),
            "tubes.0.od",
            "the taper ends 700 mm from the start",
        ),
        (GOOD.replace("28.6", "[28.6]"), "tubes.0.od", ""),
        (GOOD + ", count: -1", "tubes.0.count", ""),
    ],
)
def test_what_cannot_be_is_told_with_its_line(tube: str, path: str, message: str) -> None:
    with pytest.raises(SpecError) as caught:
        loads_tube_stock(f"{HEAD}  - {{{tube}}}\n", "rack.yaml")
    fault = next(f for f in caught.value.faults if f.path == path)
    assert message in fault.message
    assert fault.place is not None
    assert (fault.place.source, fault.place.line) == ("rack.yaml", 4)


def test_a_name_stands_once() -> None:
    with pytest.raises(SpecError, match="A stands twice"):
        loads_tube_stock(f"{HEAD}  - {{{GOOD}}}\n  - {{{GOOD}}}\n")


@pytest.mark.parametrize("text", ["", "- 1", "a: [", "name: x"])
def test_no_such_list(text: str) -> None:
    with pytest.raises(SpecError):
        loads_tube_stock(text)


def test_a_missing_file(tmp_path: Path) -> None:
    with pytest.raises(SpecError, match="name a file of tubes"):
        read_tube_stock(tmp_path / "no.yaml")
