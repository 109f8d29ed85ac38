"""The section: dampers, natural frequencies and the energy of the springs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from frame3d.report.audience import Audience, without_keys
from frame3d.report.data import ReportData
from frame3d.report.drawing.plots import gathered
from frame3d.report.markup import Markup, el, together
from frame3d.report.ride_sections.damping_plots import damping_plots, shown_returns
from frame3d.report.ride_sections.moving_bike import (
    has_returns,
    moving_parts,
    part_symbols,
    picture,
)
from frame3d.report.texts import Texts
from frame3d.ride.damping.end_ride import RATIOS
from frame3d.ride.damping.result import HIT, BodyReturn, Damping, EndRide, Kind

WORDS: Final = (
    "spring", "damper", "compression", "rebound", "low_speed", "high_speed", "critical",
)  # fmt: skip
"""Terms that the page explains."""
FLAT: Final = 0.5
"""Overshoot that counts as none [mm]."""
SHOWN: Final = 3
"""Number of returns that are shown."""


def section(data: ReportData, texts: Texts, audience: Audience) -> Markup | None:
    """Return the topic's section; None where the file gives nothing for it."""
    part = data.ride.damping
    if part is None or not part.ends:
        return None
    for_builder = audience == "builder"
    assumed = part.assumptions if for_builder else [without_keys(a) for a in part.assumptions]
    return together(
        _words(texts),
        _moving(data, part, texts),
        *(el("p", said, class_="remark") for said in _own(part, texts)),
        _facts(part, texts, for_builder=for_builder),
        gathered(damping_plots(part, texts), texts),
        _table(part, texts) if for_builder else None,
        *(el("p", said, class_="remark") for said in _remarks(part, texts, for_builder)),
        el(
            "details",
            el("summary", texts("damping.assumed")),
            el("ul", *(el("li", said) for said in assumed), class_="notes"),
        ),
    )


def _words(texts: Texts) -> Markup:
    """Return what spring and damper do, in plain words."""
    rows = [
        part
        for word in WORDS
        for part in (
            el("dt", texts(f"damping.words.{word}.term")),
            el("dd", texts(f"damping.words.{word}.says")),
        )
    ]
    return el(
        "details",
        el("summary", texts("damping.words.title")),
        el("dl", *rows, class_="pairs"),
        open=True,
    )


def _moving(data: ReportData, part: Damping, texts: Texts) -> Markup | None:
    """Return the bike with three dampings side by side, which a script moves; hidden without scripts."""
    parts = moving_parts(data.side) if has_returns(part) else ()
    if not parts:
        return None
    bikes = [
        el(
            "figure",
            picture(
                data.side, parts, texts("damping.moving.label", kind=_title(part, i, texts).lower())
            ),
            el(
                "figcaption",
                el("b", _title(part, i, texts)),
                " ",
                _caption(part, i, texts),
                class_="says",
            ),
        )
        for i in range(SHOWN)
    ]
    still = [
        texts("damping.moving.still", end=texts(f"damping.end.{name}"))
        for name, stands in _still(data, part)
        if stands
    ]
    return el(
        "div",
        part_symbols(parts),
        el("h3", texts("damping.moving.title")),
        el(
            "p",
            " ".join(
                (
                    texts("damping.moving.says", share=texts.quantity(100 * HIT, "%", 0)),
                    texts("damping.moving.slowly"),
                    *still,
                )
            ),
            class_="says",
        ),
        el("div", class_="hit-controls"),
        el("div", *bikes, class_="hit-bikes"),
        id="hit",
        hidden=True,
    )


def _still(data: ReportData, part: Damping) -> Iterator[tuple[str, bool]]:
    """Yield each end that has travel, with whether it stands still in the picture."""
    fork = data.bike.spec.build.fork
    yield "rear", data.bike.linkage is not None and not _shows(part.rear)
    yield "front", fork is not None and fork.travel > 0 and not _shows(part.front)


def _shows(end: EndRide | None) -> bool:
    return end is not None and bool(shown_returns(end))


def _returns(part: Damping, which: int) -> list[tuple[EndRide, BodyReturn]]:
    """Return the shown returns of both ends at one place, 0 to 2."""
    found = [(end, shown_returns(end)) for end in part.ends]
    return [(end, shown[which]) for end, shown in found if shown]


def _kind(part: Damping, which: int) -> Kind:
    """Return the kind of the returns at one place: the bike's own where either end has one."""
    kinds = [one.kind for _, one in _returns(part, which)]
    return "own" if "own" in kinds else kinds[0]


def _title(part: Damping, which: int, texts: Texts) -> str:
    return texts(f"damping.moving.{_kind(part, which)}.title")


def _caption(part: Damping, which: int, texts: Texts) -> str:
    kind = _kind(part, which)
    if kind != "own":
        return texts(f"damping.moving.{kind}.says", ratio=texts.number(RATIOS[kind], 2))
    ends = [
        texts(
            "damping.moving.own_end" if one.kind == "own" else "damping.moving.other_end",
            end=texts(f"damping.end.{end.end}").lower(),
            ratio=texts.number(one.of_critical_share, 2),
        )
        for end, one in _returns(part, which)
    ]
    return texts("damping.moving.own.says", list=", ".join(ends))


def _own(part: Damping, texts: Texts) -> Iterator[str]:
    """Yield how each end comes back on the damper that the file gives."""
    for end in part.ends:
        own = end.return_of("own")
        if own is None:
            continue
        name = texts(f"damping.end.{end.end}")
        if own.back_s is None:
            longest = texts.quantity(end.time_s[-1], "s", 0)
            yield texts("damping.own_slow", end=name, seconds=longest)
            continue
        times = {
            "back": texts.quantity(own.back_s, "s", 1),
            "wheel": texts.quantity(own.wheel_back_s, "s", 2),
        }
        if own.overshoot < FLAT:
            yield texts("damping.own_flat", end=name, **times)
        else:
            over = texts.quantity(own.overshoot, "mm", 0)
            yield texts("damping.own", end=name, over=over, **times)


def _facts(part: Damping, texts: Texts, *, for_builder: bool) -> Markup:
    """Return single figures of both ends; those for the builder only where asked."""
    columns = [dict(_known(end, texts, for_builder=for_builder)) for end in part.ends]
    keys = dict.fromkeys(key for column in columns for key in column)
    rows = [
        el(
            "tr",
            el("th", texts(f"damping.fact.{key}"), scope="row"),
            *(el("td", column.get(key, "–")) for column in columns),
        )
        for key in keys
    ]
    head = [el("td")]
    head += [el("th", texts(f"damping.end.{end.end}"), scope="col") for end in part.ends]
    return el(
        "table", el("thead", el("tr", *head)), el("tbody", *rows), class_="chart damping-facts"
    )


def _known(end: EndRide, texts: Texts, *, for_builder: bool) -> Iterator[tuple[str, str]]:
    """Yield figures of one end: key of its name, value."""
    sag, own = end.at_sag, end.damper
    yield "frequency", texts.quantity(sag.frequency_hz, "Hz", 1)
    if for_builder and sag.frequency_with_tyre_hz is not None:
        yield "frequency_with_tyre", texts.quantity(sag.frequency_with_tyre_hz, "Hz", 1)
        yield "wheel_hop", texts.quantity(sag.wheel_hop_hz, "Hz", 0)
    if for_builder:
        critical = coarse(sag.critical_damping_at_shaft_n_s_m)
        yield "critical", texts.quantity(critical, "N·s/m", 0)
    if own is not None and own.rebound is not None:
        yield "rebound", texts.quantity(100 * own.rebound.at_sag_share, "%", 0)
    if own is not None and own.compression is not None:
        yield "compression", texts.quantity(100 * own.compression.at_sag_share, "%", 0)
    yield "energy", texts.quantity(end.energy_j, "J", 0)
    times = texts.number(end.end_force_of_load_share, 1)
    yield "end_force", texts("damping.of_load", times=times)


def coarse(value: float) -> float:
    """Return a number with two significant digits: more are not meant."""
    return float(f"{value:.1e}")


def _table(part: Damping, texts: Texts) -> Markup | None:
    """Return the returns of both ends in figures."""
    rows = [
        el(
            "tr",
            el("th", texts(f"damping.end.{end.end}"), ", ",
               texts(f"damping.moving.{one.kind}.title").lower(), scope="row"),
            el("td", texts.quantity(100 * one.of_critical_share, "%", 0)),
            el("td", texts.quantity(coarse(one.rebound_n_s_m), "N·s/m", 0)),
            el("td", texts.quantity(one.overshoot, "mm", 0)),
            el("td", _back(end, one, texts)),
            el("td", texts.quantity(one.wheel_back_s, "s", 2)),
        )
        for end in part.ends
        for one in end.returns
    ]  # fmt: skip
    if not rows:
        return None
    keys = ("damping", "ratio", "rebound", "overshoot", "back", "wheel")
    head = [el("th", texts(f"damping.table.{key}"), scope="col") for key in keys]
    return el(
        "details",
        el("summary", texts("damping.table.title")),
        el(
            "div",
            el("table", el("thead", el("tr", *head)), el("tbody", *rows), class_="values"),
            class_="scroll",
        ),
    )


def _back(end: EndRide, one: BodyReturn, texts: Texts) -> str:
    if one.back_s is not None:
        return texts.quantity(one.back_s, "s", 1)
    return texts("damping.table.longer", seconds=texts.quantity(end.time_s[-1], "s", 0))


def _remarks(part: Damping, texts: Texts, for_builder: bool) -> Iterator[str]:
    """Yield what the figures are good for, and how a shop measures a damper."""
    if for_builder:
        for end in part.ends:
            soonest = end.return_of("quickest")
            if soonest is not None and end.damper is None:
                yield texts(
                    "damping.film",
                    part=texts(f"damping.part.{end.end}"),
                    start=texts.quantity(end.hit_stroke, "mm", 0),
                    stop=texts.quantity(end.at_sag.stroke, "mm", 0),
                    seconds=texts.quantity(soonest.wheel_back_s, "s", 2),
                )
        yield texts("damping.clicks")
    if has_returns(part):
        yield texts("damping.chosen")
    yield texts("damping.drop")
