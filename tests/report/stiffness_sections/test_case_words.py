"""A load case in words."""

from __future__ import annotations

from frame3d.report.stiffness_sections.case_words import headline, how, largest, work
from frame3d.report.texts import texts
from tests.stiffness.test_of_bike import result


def test_what_is_said_of_a_case() -> None:
    one = result("hardtail").of("head_sideways")
    assert headline(one, texts()) == f"Head tube, sideways: {one.stiffness:.1f} N/mm"
    assert how(one, texts()).startswith("Bottom bracket shell held; 100 N sideways")
    assert [key for key, _ in largest(one)] == ["down_tube", "top_tube", "seat_tube"]
    assert work(one, 22.4, texts()).startswith("Work: down tube 68 %, top tube ")
    assert work(one, 22.4, texts()).endswith("Drawn 22 times as large.")
    assert "Drawn 0.5 times" in work(one, 0.47, texts())
