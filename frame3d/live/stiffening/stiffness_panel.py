"""The panel on stiffness: each load case beside the bike that figures are compared with, and gains.

It is worked out with each picture while a page has it open, and not at all else.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from threading import Lock
from typing import Any, Final

from frame3d.bike.choice import Choice
from frame3d.caution import CAUTION
from frame3d.errors import FrameError
from frame3d.live.comparing.sides import Side
from frame3d.live.solved_text import SolvedText
from frame3d.report.markup import Markup, el, together
from frame3d.report.stiffness_sections.bending import bending_document
from frame3d.report.stiffness_sections.case_words import largest, share
from frame3d.report.stiffness_sections.gains_table import gains_table
from frame3d.report.texts import Texts
from frame3d.stiffness.comparison import Comparison, Ratio, Verdict, compare
from frame3d.stiffness.gains import gains_of
from frame3d.stiffness.of_bike import CaseResult, Stiffness, stiffness_of

Key = tuple[str, Choice]
"""Of a solved text."""
VERDICTS: Final[Mapping[Verdict, str]] = {
    "same": "live.stiffness.same",
    "not told apart": "live.stiffness.not_told_apart",
    "stiffer": "live.stiffness.stiffer",
    "less stiff": "live.stiffness.less_stiff",
}
"""Texts of what a ratio says."""
LOAD, NOW, GIVES = "live.stiffness.load", "live.stiffness.now", "live.stiffness.gives"
RATIO, SAYS = "live.stiffness.ratio", "live.stiffness.says"
"""Texts of the columns' heads."""


class StiffnessPanel:
    """What the panel shows, and which pages have it open."""

    def __init__(self, texts: Texts) -> None:
        """No page has it open."""
        self._texts = texts
        self._open: set[int] = set()
        self._reference: tuple[Key, Stiffness] | None = None
        self._last: tuple[Key, Stiffness] | None = None
        self._told: tuple[Key, Key | None] | None = None
        self._lock = Lock()

    @property
    def is_open(self) -> bool:
        """Whether any page shows it."""
        return bool(self._open)

    def look(self, page: int, *, on: bool) -> None:
        """Say that a page has opened or closed it."""
        if on:
            self._open.add(page)
        else:
            self._open.discard(page)

    def is_told(self, solved: SolvedText, beside: Side | None) -> bool:
        """Whether the last markup was of this bike beside that one."""
        return self._told == _keys(solved, beside)

    def told(self, solved: SolvedText, beside: Side | None) -> str:
        """Return the panel's markup; threads take turns.

        Args:
            solved: the bike.
            beside: what ratios are to; None for none.
        """
        with self._lock:
            self._told = _keys(solved, beside)
            try:
                if not solved.bike.tubes:
                    return str(el("p", self._texts("live.stiffness.no_tubes"), class_="remark"))
                stiffness = stiffness_of(solved.bike)
                self._last = solved.key, stiffness
                return str(self._markup(stiffness, beside))
            except FrameError as error:
                fault = error.faults[0]
                why = "; ".join(part for part in (fault.message, fault.hint) if part)
                return str(el("p", self._texts("live.stiffness.cannot", why=why), class_="remark"))

    def bending(self, solved: SolvedText) -> dict[str, Any] | None:
        """Return how the frame bends, for the picture; None unless it was told of last."""
        with self._lock:
            if self._last is None or self._last[0] != solved.key:
                return None
            return bending_document(self._last[1], self._texts)

    def _markup(self, stiffness: Stiffness, beside: Side | None) -> Markup:
        texts = self._texts
        reference = None if beside is None else self._known(beside)
        against = None if reference is None else compare(reference, (stiffness,))[0]
        return together(
            el("p", self._says(beside, against), class_="remark"),
            _table(stiffness, against, texts),
            gains_table(stiffness, gains_of(stiffness), texts),
            *_remarks(stiffness, texts),
        )

    def _says(self, beside: Side | None, against: Comparison | None) -> str:
        if beside is None:
            return self._texts("live.stiffness.alone")
        if against is None:
            return self._texts("live.stiffness.no_other", name=beside.name)
        said = self._texts("live.stiffness.beside", name=beside.name)
        if against.alike:
            return f"{said} {self._texts('live.stiffness.of_tubes')}"
        return f"{said} {self._texts('live.stiffness.of_frames')}"

    def _known(self, beside: Side) -> Stiffness | None:
        """Return the stiffness of the other bike, worked out once; None where it has none."""
        key = beside.solved.key
        if self._reference is None or self._reference[0] != key:
            try:
                if not beside.solved.bike.tubes:
                    return None
                self._reference = key, stiffness_of(beside.solved.bike)
            except FrameError:
                return None
        return self._reference[1]


def _keys(solved: SolvedText, beside: Side | None) -> tuple[Key, Key | None]:
    return solved.key, None if beside is None else beside.solved.key


def _table(stiffness: Stiffness, against: Comparison | None, texts: Texts) -> Markup:
    """Return the load cases: stiffness, ratio and what it says, the tube that gives most."""
    ratios = {} if against is None else {one.case.key: one for one in against.ratios}
    heads = [LOAD, NOW, *(() if against is None else (RATIO, SAYS)), GIVES]
    beside = against is not None
    rows = [_row(one, ratios.get(one.case.key), texts, beside=beside) for one in stiffness.cases]
    mass = [el("td", texts.quantity(stiffness.frame_mass, "g", 0))]
    if against is not None:
        mass += [el("td", texts.number(against.mass_ratio, 3)), el("td")]
    rows.append(
        el(
            "tr",
            el("th", texts("live.stiffness.mass"), scope="row"),
            *mass,
            el("td", class_="gives"),
        )
    )
    return el(
        "table",
        el("caption", texts("live.panel.stiffness"), class_="unseen"),
        el(
            "thead",
            el(
                "tr",
                *(
                    el("th", texts(key), scope="col", class_="gives" if key == GIVES else None)
                    for key in heads
                ),
            ),
        ),
        el("tbody", *rows),
        class_="chart stiff",
    )


def _row(one: CaseResult, ratio: Ratio | None, texts: Texts, *, beside: bool) -> Markup:
    case = one.case
    means = texts("stiffness.held", held=case.held, loaded=case.loaded, read=case.read)
    key, most = largest(one)[0]
    cells = [el("td", texts.quantity(one.stiffness, case.unit, 1))]
    if ratio is not None:
        told = ratio.verdict in ("stiffer", "less stiff")
        class_ = "ratio told" if told else "ratio"
        low, high = texts.number(ratio.low, 2), texts.number(ratio.high, 2)
        band = texts("live.stiffness.between", low=low, high=high)
        cells += [
            el("td", texts.number(ratio.value, 3), class_=class_, title=band),
            el("td", texts(VERDICTS[ratio.verdict]), class_="says"),
        ]
    elif beside:
        cells += [el("td"), el("td")]
    return el(
        "tr",
        el("th", el("span", case.title, title=means, class_="means"), scope="row"),
        *cells,
        el("td", share(key, most, texts), class_="says gives"),
        data_case=case.key,
    )


def _remarks(stiffness: Stiffness, texts: Texts) -> Iterator[Markup]:
    if stiffness.model.bridges:
        yield el("p", texts("stiffness.bridges"), class_="remark")
    yield el("p", texts("stiffness.stronger"), class_="remark")
    yield el("p", CAUTION, class_="remark")
