"""The section of the rear suspension's figures and curves, or of the fork's."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from frame3d.bike.travel import TravelAnalysis
from frame3d.linkage import Coil
from frame3d.linkage.curves.springs import Air
from frame3d.report.audience import Audience, without_keys
from frame3d.report.data import ReportData, plots_of
from frame3d.report.drawing.plots import Plot, gathered
from frame3d.report.least_spans import LEAST_SPANS
from frame3d.report.markup import Markup, el, together
from frame3d.report.texts import Texts
from frame3d.report.verdicts import BANDS, WORDS, verdict


def suspension(data: ReportData, texts: Texts, audience: Audience = "builder") -> Markup | None:
    """Return figures and plots; None for a bike without suspension."""
    plots = plots_of(data, texts)
    if not plots:
        return None
    moving = data.travelled
    for_rider = audience == "rider"
    told = {p.key: said for p in plots if (said := _verdict(p, texts))} if for_rider else {}
    drawn = together(
        gathered(plots, texts, told),
        _thresholds(plots, texts) if told else None,
        _spans(plots, texts),
    )
    if moving is None:
        return drawn
    assumed = [without_keys(a) for a in moving.assumptions] if for_rider else moving.assumptions
    return together(
        _facts(data, moving, texts),
        _shares(moving, texts),
        *(
            el("p", texts("curve.note", note=n.message), class_="remark")
            for n in moving.sprung.notes
            if not for_rider
        ),
        drawn,
        el("p", texts("curve.assumed", list="; ".join(assumed)), class_="remark"),
    )


def _verdict(plot: Plot, texts: Texts) -> str | None:
    """Return in words what a curve says, with the figure that carries it."""
    found = verdict(plot)
    if found is None:
        return None
    value = texts.quantity(found.value, found.bands.unit, found.bands.decimals)
    return texts(
        "verdict.line",
        word=texts(f"verdict.{plot.key}.{found.word}"),
        carried=texts(f"verdict.{plot.key}.carried", value=value),
    )


def _thresholds(plots: Sequence[Plot], texts: Texts) -> Markup:
    """Return by which limits the words of all curves are chosen."""
    rows = []
    for plot in plots:
        bands = BANDS[plot.key]
        limits = [texts.quantity(x, bands.unit, bands.decimals) for x in bands.limits]
        words = [texts(f"verdict.{plot.key}.{word}").lower() for word in WORDS]
        said = (
            texts("verdict.below", limit=limits[0], word=words[0]),
            texts("verdict.between", limit=limits[1], word=words[1]),
            texts("verdict.above", word=words[2]),
        )
        rows.append(el("dt", plot.title))
        rows.append(el("dd", f"{texts(f'verdict.{plot.key}.by')}: ", "; ".join(said), "."))
    return _folded(texts("verdict.title"), texts("verdict.says"), rows, "thresholds")


def _spans(plots: Sequence[Plot], texts: Texts) -> Markup:
    """Return how wide the axis of each plot is at least, and why."""
    rows = []
    for plot in plots:
        least = LEAST_SPANS[plot.key]
        span = texts.quantity(least.span, plot.y_unit, 0)
        rows.append(el("dt", f"{plot.title}, {texts('span.at_least', span=span)}"))
        rows.append(el("dd", texts(f"span.why.{least.why}")))
    return _folded(texts("span.title"), texts("span.says"), rows, "spans")


def _folded(title: str, says: str, rows: Sequence[Markup], class_: str) -> Markup:
    """Return terms with what is said of them, folded under a title, with an explanation."""
    return el(
        "details",
        el("summary", title),
        el("p", says),
        el("dl", *rows, class_="pairs"),
        class_=class_,
    )


def _shares(moving: TravelAnalysis, texts: Texts) -> Markup | None:
    """Return the explanation why sag as a share of stroke and of travel differs."""
    sag = moving.sag
    if sag is None or sag.stroke == 0:
        return None
    said = texts(
        "curve.shares",
        stroke=texts.quantity(100 * sag.stroke_share, "%", 0),
        travel=texts.quantity(100 * sag.travel_share, "%", 0),
        first=texts.number(sag.travel / sag.stroke, 2),
        mean=texts.number(moving.curves.mean_leverage, 2),
    )
    return el("p", said, class_="remark")


def _facts(data: ReportData, moving: TravelAnalysis, texts: Texts) -> Markup:
    rows = [
        el("div", el("dt", texts(f"curve.fact.{key}")), el("dd", value))
        for key, value in _known(data, moving, texts)
    ]
    return el("dl", *rows, class_="glance small")


def _known(data: ReportData, moving: TravelAnalysis, texts: Texts) -> Iterator[tuple[str, str]]:
    linkage, curves = data.bike.linkage, moving.curves
    assert linkage is not None
    yield "travel", texts.quantity(linkage.full_travel, "mm")
    yield "stroke", texts.quantity(linkage.full_stroke, "mm")
    yield "eye_to_eye", texts.quantity(linkage.eye_to_eye, "mm")
    yield "mean_leverage", texts.number(curves.mean_leverage, 2)
    yield "progression", texts.quantity(100 * curves.progression, "%", 0)
    sag = moving.sag
    if sag is not None:
        for key, length, part in (
            ("sag", sag.travel, sag.travel_share),
            ("sag_stroke", sag.stroke, sag.stroke_share),
        ):
            share = texts.quantity(100 * part, "%", 0)
            yield key, f"{texts.quantity(length, 'mm')} ({share})"
    spring = moving.sprung.spring
    if isinstance(spring, Coil):
        rate, pounds = texts.number(spring.k, 1), texts.number(spring.lb_in, 0)
        yield "spring", texts("curve.coil", rate=rate, pounds=pounds)
    elif isinstance(spring, Air):
        bar, psi = texts.number(spring.pressure_bar, 1), texts.number(spring.pressure_psi, 0)
        yield "spring", texts("curve.air", bar=bar, psi=psi)
    if curves.forces is not None:
        yield "bottom_out", texts.quantity(curves.forces.bottom_out_wheel, "N", 0)
