"""Solving and drawing a state: a bike, the same one, one that is only begun, faults."""

from __future__ import annotations

from typing import Any

import pytest

from frame3d.live.choosing.chooser import Chooser
from frame3d.live.comparing.sides import Side
from frame3d.live.session import State
from frame3d.live.shown import Begun, Drawn
from frame3d.live.stiffening.stiffness_panel import StiffnessPanel
from frame3d.live.work.drawing import Drawing
from frame3d.report.texts import texts
from tests.live.serving import SMALL

TEXT = SMALL.read_text("utf-8")


@pytest.fixture
def stiffness() -> StiffnessPanel:
    return StiffnessPanel(texts())


@pytest.fixture
def draw(stiffness: StiffnessPanel) -> Drawing:
    return Drawing("bike.yaml", Chooser(), stiffness, texts())


def drawn(outcome: Any) -> Drawn:
    assert isinstance(outcome, Drawn)
    return outcome


def test_a_bike_with_its_picture_and_figures(draw: Drawing) -> None:
    first = drawn(draw(State(TEXT), None, None))
    assert first.picture.glb.startswith(b"glTF")
    assert "455.0" in first.figures
    assert first.side == ""
    # The bike that is shown already is not drawn anew.
    assert draw(State(TEXT), None, first.solved) is first.solved
    other = State(TEXT, {"geometry.reach": 460.0})
    changed = drawn(draw(other, Side("as opened", first.solved), first.solved))
    assert "+5.0" in changed.figures


def test_too_few_figures_are_begun_and_what_is_wrong_has_its_faults(draw: Drawing) -> None:
    begun = draw(State(TEXT.replace("  reach: 455\n", "")), None, None)
    assert isinstance(begun, Begun)
    assert begun.faults
    found = draw(State(TEXT.replace("reach:", "raech:")), None, None)
    assert isinstance(found, tuple)
    assert found[0].path == "geometry.raech"


def test_a_defect_is_a_fault_and_the_next_text_is_drawn(
    draw: Drawing, monkeypatch: pytest.MonkeyPatch
) -> None:
    from frame3d.live.work import drawing

    def fail(*_: object) -> None:
        raise RuntimeError("spoilt")

    with monkeypatch.context() as now:
        now.setattr(drawing, "light_picture", fail)
        found = draw(State(TEXT), None, None)
    assert isinstance(found, tuple)
    assert len(found) == 1
    drawn(draw(State(TEXT), None, None))


def test_stiffness_comes_with_the_picture_only_while_it_is_looked_at(
    draw: Drawing, stiffness: StiffnessPanel
) -> None:
    assert drawn(draw(State(TEXT), None, None)).stiffness is None
    stiffness.look(1, on=True)
    assert drawn(draw(State(TEXT), None, None)).stiffness
