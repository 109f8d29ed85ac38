"""``fabricate --all-sizes``: the order list beside the sizes' folders, and its options."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from frame3d.fabrication import Written
from tests.fabrication.samples import SMALL
from tests.hardening.running import run

SIZES = """
sizes:
  S: {geometry.reach: 430}
  M:
  L: {geometry.reach: 900}
"""
"""L cannot be made."""


@pytest.fixture(autouse=True)
def _no_packs(monkeypatch: pytest.MonkeyPatch) -> None:
    """The sizes' own packs have their tests, and take seconds."""
    monkeypatch.setattr("frame3d.fabrication.fabricate", lambda *_, **__: Written((), (), ()))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "family.yaml"
    path.write_text(SMALL + SIZES, "utf-8")
    return path


def test_the_order_list_stands_beside_the_sizes(file: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    asked = ("--quantity", "M=2", "--stock", "3000,1600:1", "--kerf", "3", "--trim", "5")
    ended = run("fabricate", file, "--all-sizes", *asked, "--json", "-o", out)
    assert ended.status == 2  # for L
    document = json.loads(ended.out)
    assert list(document["sizes"]) == ["S", "M", "L"]
    order = document["order"]
    assert order["sizes"] == [{"size": "S", "quantity": 1}, {"size": "M", "quantity": 2}]
    assert order["missing"] == ["L"]
    assert (order["kerf"], order["trim"]) == (3, 5)
    assert order["stock"] == [{"length": 3000, "count": None}, {"length": 1600, "count": 1}]
    assert [Path(f).name for f in order["files"]] == [
        "order_list.csv",
        "order_list.pdf",
        "saw_list.csv",
    ]
    assert all(Path(f).parent == out and Path(f).is_file() for f in order["files"])
    # A piece that no bar holds is told, and the list of before stays. Sizes that are not wanted are not
    # missed.
    before = (out / "order_list.csv").read_bytes()
    asked = ("--quantity", "L=0", "--quantity", "S=0", "--stock", "500")
    ended = run("fabricate", file, "--all-sizes", *asked, "--json", "-o", out)
    assert ended.status == 2
    document = json.loads(ended.out)
    assert set(document["sizes"]) == {"S", "M", "L"}
    assert [f["path"] for f in document["faults"]] == ["tubes.down_tube"]
    assert "is longer than any bar" in ended.err
    assert (out / "order_list.csv").read_bytes() == before


def test_a_size_that_lacks_a_tube_is_not_ordered(tmp_path: Path) -> None:
    """In S the brace's end lies beyond the top tube."""
    file = tmp_path / "family.yaml"
    sizes = "sizes:\n  S: {tubes.brace.end.from_end: 1400}\n  M:\n"
    file.write_text(SMALL + sizes, "utf-8")
    ended = run("fabricate", file, "--all-sizes", "-o", tmp_path / "out")
    assert ended.status == 1
    said = ended.out[ended.out.index("order list for") :]
    assert said.startswith("order list for 1 of M\n- not in it, as it could not be made whole: S\n")
    assert "38.1 × 0.9, 4130: 1 bar of 2000, the fewest, proven" in said


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("--stock", "2000"), "--stock: it is for all sizes, or several files, together"),
        (("--all-sizes", "--quantity", "XL=2"), "there is no size XL"),
        (("--all-sizes", "--quantity", "M=2", "--quantity", "M=3"), "size M stands twice"),
        (
            ("--all-sizes", *(x for s in "SML" for x in ("--quantity", f"{s}=0"))),
            "no frame is left",
        ),
        (("--all-sizes", "--stock", "900", "--trim", "450"), "nothing is left of a bar of 900 mm"),
        (("--all-sizes", "--quantity", "M"), "'M' is no size and number of frames"),
        (("--all-sizes", "--quantity", "M=-1"), "'M=-1' is no size and number of frames"),
        (("--all-sizes", "--quantity", "M=99999999999"), "is no size and number of frames"),
        (("--all-sizes", "--stock", "2000,two"), "'two' is no stock length"),
        (("--all-sizes", "--stock", "2000:x"), "'2000:x' is no stock length"),
        (("--all-sizes", "--stock", "nan"), "nan mm is no bar"),
        (("--all-sizes", "--stock", "2000:-1"), "-1 is no number of bars"),
        (("--all-sizes", "--stock", "2000,2000.0"), "a length stands twice"),
        (("--all-sizes", "--kerf", "-1"), "--kerf"),
    ],
)
def test_options_at_fault(
    file: Path, tmp_path: Path, arguments: tuple[str, ...], message: str
) -> None:
    ended = run("fabricate", file, *arguments, "-o", tmp_path / "out")
    assert ended.status == 2
    assert message in ended.err
    assert not (tmp_path / "out").exists()


def test_several_files_have_one_order_list(file: Path, tmp_path: Path) -> None:
    """Two files of one name are told apart, a faulty one is told with its line, the others are written."""
    other = tmp_path / "other" / "family.yaml"
    other.parent.mkdir()
    other.write_text(SMALL, "utf-8")
    bad = tmp_path / "bad.yaml"
    bad.write_text(SMALL.replace("reach: 455", "reach: 4555"), "utf-8")
    out = tmp_path / "out"
    asked = ("--quantity", "family-2=3", "--quantity", "family:S=2", "--json", "-o", out)
    ended = run("fabricate", f"{file}:S", other, bad, *asked)
    assert ended.status == 2
    assert f"{bad}:" in ended.err
    document = json.loads(ended.out)
    assert list(document["frames"]) == ["family:S", "family-2", "bad"]
    assert document["frames"]["family:S"]["size"] == "S"
    assert document["frames"]["bad"]["faults"][0]["path"] == "geometry.reach"
    order = document["order"]
    assert order["sizes"] == [
        {"size": "family:S", "quantity": 2},
        {"size": "family-2", "quantity": 3},
    ]
    assert order["missing"] == ["bad"]
    assert all(Path(f).parent == out and Path(f).is_file() for f in order["files"])
    forks = [part for part in order["parts"] if part["item"] == "fork"]
    assert [part["by_size"] for part in forks] == [{"family:S": 2, "family-2": 3}]


def test_one_named_size_is_that_size_alone(file: Path, tmp_path: Path) -> None:
    ended = run("fabricate", f"{file}:S", "--json", "-o", tmp_path / "out")
    assert ended.status == 0
    document = json.loads(ended.out)
    assert document["size"] == "S"
    assert "order" not in document


def test_all_sizes_of_several_files(file: Path, tmp_path: Path) -> None:
    """A file without sizes is one bike."""
    plain = tmp_path / "plain.yaml"
    plain.write_text(SMALL, "utf-8")
    asked = ("--all-sizes", "--quantity", "family:L=0", "--json", "-o", tmp_path / "out")
    ended = run("fabricate", file, plain, *asked)
    document = json.loads(ended.out)
    assert list(document["frames"]) == ["family:S", "family:M", "family:L", "plain"]
    assert document["order"]["missing"] == []
    assert "in size L: " in ended.err


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("{file}:S", "{file}:S"), "this bike is named twice"),
        (("{file}:S", "{file}:M", "--all-sizes"), "a size is named too"),
        (("{file}:S", "{file}:M", "--quantity", "M=2"), "known here: family:S, family:M"),
    ],
)
def test_several_files_at_fault(
    file: Path, tmp_path: Path, arguments: tuple[str, ...], message: str
) -> None:
    said = [argument.format(file=file) for argument in arguments]
    ended = run("fabricate", *said, "-o", tmp_path / "out")
    assert ended.status == 2
    assert message in ended.err
    assert not (tmp_path / "out").exists()


def test_a_faulty_list_of_tubes_is_told_before_anything_is_written(
    file: Path, tmp_path: Path
) -> None:
    rack = tmp_path / "rack.yaml"
    rack.write_text("format: 1\nname: Rack\ntubes: []\n", "utf-8")
    ended = run("fabricate", f"{file}:S", "--tube-stock", rack, "-o", tmp_path / "out")
    assert ended.status == 2
    assert f"{rack}:3" in ended.err
    assert not (tmp_path / "out").exists()
