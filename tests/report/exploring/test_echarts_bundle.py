"""The ECharts bundle of the installed nicegui package, and what is said where it is not there."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.errors import FrameError
from frame3d.report.exploring.echarts_bundle import PLACE, echarts_bundle


def package(folder: Path, entry: str, **chunks: str) -> Path:
    """A package with such a bundle."""
    file = folder / PLACE
    file.parent.mkdir(parents=True)
    file.write_text(entry)
    for name, text in chunks.items():
        (file.parent / f"{name}.js").write_text(text)
    return folder


def test_the_installed_package_has_the_bundle() -> None:
    """Fails where a release moves it or puts it together otherwise."""
    text = echarts_bundle()
    assert text.endswith(" as echarts};\n")
    assert 'import("' not in text
    assert "sourceMappingURL" not in text
    assert "parallelAxis" in text
    assert "richText" in text


def test_the_chunk_with_the_charts_is_taken(tmp_path: Path) -> None:
    folder = package(
        tmp_path,
        'import{aS as a,aT as r}from"./one.js";export{a as echarts,r as loadMore};\n'
        "//# sourceMappingURL=index.js.map",
        one='const z=1,y=()=>import("./two.js");export{z as aS,y as aT};',
    )
    assert echarts_bundle(folder) == "const z=1,y=()=>Promise.reject();\nexport{z as echarts};\n"


def test_a_bundle_in_one_piece_is_taken_as_it_is(tmp_path: Path) -> None:
    folder = package(tmp_path, "const z=1;export{z as echarts};")
    assert echarts_bundle(folder) == "const z=1;\nexport{z as echarts};\n"


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        (None, "there is no index.js among the charts"),
        ("export{a as other};", "lack echarts"),
        ('import{a}from"./gone.js";export{a as echarts};', "there is no gone.js"),
        ('import{b}from"./gone.js";export{a as echarts};', "put together in an unknown way"),
    ],
)
def test_what_is_missing_is_named(tmp_path: Path, entry: str | None, said: str) -> None:
    folder = tmp_path if entry is None else package(tmp_path, entry)
    with pytest.raises(FrameError) as caught:
        echarts_bundle(folder)
    (fault,) = caught.value.faults
    assert fault.code == "dependency"
    assert said in fault.message


def test_a_missing_package_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("frame3d.report.exploring.echarts_bundle.find_spec", lambda _: None)
    with pytest.raises(FrameError, match="nicegui is not installed"):
        echarts_bundle()
