"""Frames beside one of them: what the pictures say aloud, the table, the words of the bands."""

from __future__ import annotations

import html
import re

from frame3d.report.stiffness_sections.beside import beside, remarks, verdict
from frame3d.report.texts import texts
from frame3d.stiffness.comparison import SideBySide, ratio, side_by_side
from frame3d.stiffness.load_cases import CASES
from tests.stiffness.test_of_bike import result

SAY = texts()


def shown() -> SideBySide:
    made = side_by_side(
        ("plain", "thick", "other", "none"),
        [
            result("hardtail"),
            result("hardtail", "tubes.chainstay.wall=1.2"),
            result("adventure"),
            None,
        ],
    )
    assert made is not None
    return made


def test_every_case_with_each_bikes_ratio_band_and_words() -> None:
    made = shown()
    page = html.unescape(beside(made, SAY))
    assert page.count("<svg") == len(CASES)
    thick, other = made.comparisons[1:3]
    assert thick is not None
    assert other is not None
    for one, far in zip(thick.ratios, other.ratios, strict=True):
        aloud = re.search(rf'aria-label="{one.case.title}: (.*?)"', page)
        assert aloud is not None
        first, second = aloud[1].split("; ")
        assert first.startswith(f"thick {one.value:.2f} ({one.low:.2f} to {one.high:.2f}), ")
        assert first.endswith(one.verdict)
        assert second.startswith(f"other {far.value:.2f} (")
        assert second.endswith(far.verdict)
    assert {one.verdict for one in thick.ratios} == {"same", "stiffer"}
    assert "1 is plain" in page
    assert beside(made, SAY, explained=False).count("read:") == 0


def test_the_table_has_figures_and_stiffness_over_mass() -> None:
    made = shown()
    page = html.unescape(beside(made, SAY))
    row = re.search(r'<tr><th scope="row">Rear end, sideways.*?</tr>', page)
    assert row is not None
    plain, thick, other, none = re.findall(r"<td>(.*?)</td>", row[0])
    first = made.first
    value = first.of("rear_sideways").stiffness
    assert f"<span>{value:.1f}</span>" in plain
    assert f"{1000 * value / first.frame_mass:.1f} per kg" in plain
    assert "stiffer" not in plain
    assert "stiffer" in thick
    assert "less stiff" in other
    assert none == "–"
    assert f"{first.frame_mass:.0f} g" in page


def test_words_and_remarks() -> None:
    cases = ((1.0, True), (1.0, False), (1.2, True), (0.5, False))
    said = [verdict(ratio(CASES[0], value, alike=alike), SAY) for value, alike in cases]
    assert said == ["same", "not told apart", "stiffer", "less stiff"]
    told = remarks(shown(), SAY)
    assert "Stiffer is not stronger" in told
    assert "205 GPa" in told
    assert "stress" not in told
