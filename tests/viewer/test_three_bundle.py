"""The three.js bundle of the installed nicegui package, and what is said where it is not there."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.errors import FrameError
from frame3d.viewer.three_bundle import NEEDED, PLACES, exported, three_bundle


def test_the_installed_package_has_the_bundle() -> None:
    """Fails where a release moves it, drops an export, or loses its licence notice."""
    text = three_bundle()
    assert set(NEEDED) <= exported(text)
    assert "SPDX-License-Identifier: MIT" in text
    assert "sourceMappingURL" not in text


def test_it_is_taken_from_a_given_package(tmp_path: Path) -> None:
    file = tmp_path / PLACES[0]
    file.parent.mkdir(parents=True)
    names = ", ".join(f"a{i} as {name}" for i, name in enumerate(NEEDED))
    file.write_text(f"const a=1;export{{{names}}};\n//# sourceMappingURL=index.js.map")
    assert three_bundle(tmp_path).startswith("const a=1;export{")
    assert three_bundle(tmp_path).endswith("};\n")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (None, "there is no elements/scene/dist/index.js in the installed nicegui package"),
        ("export{a as THREE,b as OrbitControls};", "lacks GLTFLoader"),
        ("export default 1;", "lacks THREE, GLTFLoader, OrbitControls"),
    ],
)
def test_what_is_missing_is_named(tmp_path: Path, text: str | None, said: str) -> None:
    if text is not None:
        file = tmp_path / PLACES[0]
        file.parent.mkdir(parents=True)
        file.write_text(text)
    with pytest.raises(FrameError) as caught:
        three_bundle(tmp_path)
    (fault,) = caught.value.faults
    assert fault.code == "dependency"
    assert said in fault.message
    assert "nicegui 3.16" in fault.hint


def test_a_missing_package_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("frame3d.viewer.three_bundle.find_spec", lambda _: None)
    with pytest.raises(FrameError, match="nicegui is not installed"):
        three_bundle()


def test_exports_are_read_from_the_list_at_the_end() -> None:
    assert exported("export {x as THREE, y};") == {"THREE", "y"}
    assert exported("let a; export { a };\nrun();") == frozenset()
