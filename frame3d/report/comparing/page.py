"""Bikes side by side as one self-contained HTML file, which loads nothing."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

from frame3d.formats.writer import stated_date, write
from frame3d.progress import Progress
from frame3d.report.comparing.curves import curves
from frame3d.report.comparing.data import Comparison
from frame3d.report.comparing.models import Models, models
from frame3d.report.comparing.overlay import ALIGNED, legend, overlay
from frame3d.report.comparing.stiffness import stiffness
from frame3d.report.comparing.tables import contacts, gaps, size_csv, suspension_and_mass, told
from frame3d.report.drawing.plots import Plot, gathered, plot_document
from frame3d.report.markup import Markup, el, together
from frame3d.report.page import assembled, controls, safe_script, scripts_of, stylesheet
from frame3d.report.sections.heading import judged, mark
from frame3d.report.sections.model import stage
from frame3d.report.sections.notes import caution
from frame3d.report.sections.sizes import size_tables
from frame3d.report.texts import Texts
from frame3d.report.texts import texts as of_language
from frame3d.version import __version__
from frame3d.viewer.modules import joined

FILE: Final = "compare.html"
TABLE: Final = "size_table.csv"
TEXT: Final = "size_table.txt"


def write_comparison(
    comparison: Comparison, text: str, folder: Path, progress: Progress | None = None
) -> tuple[Path, ...]:
    """Write ``compare.html``, and the size table as ``size_table.csv`` and ``size_table.txt``.

    Args:
        comparison: the bikes.
        text: the size table as text.
        folder: where to.
        progress: called with what is being made and the share done, 0 to 1.

    Raises:
        OutputError: they cannot be written; older ones are unchanged.
    """
    made = {
        FILE: comparison_page(comparison, progress=progress),
        TABLE: size_csv(comparison.table),
        TEXT: f"{text}\n".encode(),
    }
    return write(made, folder, progress=progress).files


def comparison_page(
    comparison: Comparison, language: str = "en", progress: Progress | None = None
) -> bytes:
    """Return the page.

    Args:
        comparison: the bikes.
        language: of its texts.
        progress: as for `write_comparison`.

    Raises:
        SolidError: a frame cannot be meshed.
        OutputError: the three.js bundle of the nicegui package is not where it should be.
    """
    texts = of_language(language)
    shown = models(comparison, texts, progress)
    plots = curves(comparison, texts)
    return assembled(
        texts,
        title=texts("comparing.title", names=", ".join(comparison.labels)),
        content=body(comparison, shown, plots, texts),
        glb=shown.glb,
        document=_document(comparison, shown, plots, texts),
        style=stylesheet() + own_style(),
        script=_script(),
    )


@cache
def own_style() -> str:
    """Return what this page's style sheet adds to that of the report."""
    folder = files("frame3d.report.comparing") / "page_files"
    return (folder / "compare.css").read_text(encoding="utf-8")


@cache
def _script() -> str:
    """Return the page's scripts, joined with those of the report's that they need."""
    own, library = scripts_of("frame3d.report.comparing"), scripts_of("frame3d.report")
    return safe_script(joined(own, "compare.js", ("compare",), library))


def _document(
    comparison: Comparison, shown: Models, plots: tuple[Plot, ...], texts: Texts
) -> dict[str, Any]:
    """Return the data for the page's scripts."""
    return {
        "labels": comparison.labels,
        "scenes": shown.scenes,
        "poses": shown.poses,
        "plots": [plot_document(plot) for plot in plots],
        "texts": texts.everything,
    }


def body(comparison: Comparison, shown: Models, plots: tuple[Plot, ...], texts: Texts) -> Markup:
    """Return the page's visible content, complete without scripts."""
    figures = suspension_and_mass(comparison, texts)
    sections: list[tuple[str, Markup | None]] = [
        ("overlay", _overlay(comparison, texts)),
        ("sizes", together(size_tables(comparison.table, texts), contacts(comparison, texts))),
        ("pair", _pair(comparison, texts) if shown.glb else None),
        ("lines", _lines(plots, texts) if plots else None),
        ("gaps", gaps(comparison, texts)),
        ("masses", figures),
        ("stiffness", stiffness(comparison, texts)),
    ]
    there = [(key, content) for key, content in sections if content is not None]
    links = [el("a", texts(f"comparing.{key}.title"), href=f"#{key}") for key, _ in there]
    return together(
        el("a", texts("page.skip"), href="#sizes", class_="skip"),
        el("header", _heading(comparison, texts), controls(texts), class_="top"),
        el("nav", *links, aria_label=texts("page.contents")),
        el("main", *(_section(key, content, texts) for key, content in there)),
        el(
            "footer",
            caution(texts),
            el("p", texts("comparing.made", version=__version__), class_="made"),
        ),
    )


def _heading(comparison: Comparison, texts: Texts) -> Markup:
    """Return what this is, the bikes with their colours, and whether their checks hold."""
    date = stated_date()
    kind = [texts("comparing.kind")]
    kind += [] if date is None else [texts("page.dated", date=f"{date:%Y-%m-%d}")]
    names = dict.fromkeys(member.bike.spec.name for member in comparison.members)
    missing = ", ".join(one.label for one in comparison.family.missing)
    return el(
        "div",
        el("p", *(el("span", each) for each in kind), class_="kind"),
        el("h1", ", ".join(names)),
        legend(comparison.members, texts),
        el("ul", *_verdicts(comparison, texts), class_="verdicts"),
        el("p", texts("comparing.missing", names=missing), class_="remark") if missing else None,
        class_="heading",
    )


def _verdicts(comparison: Comparison, texts: Texts) -> list[Markup]:
    """Return for each bike whether its checks hold; one line for all where all do."""
    states = [
        judged(one.report.results, lambda key, **values: texts(f"status.{key}", **values))
        for one in comparison.measured
    ]
    if all(state == "holds" for state, _ in states):
        return [el("li", mark("holds", texts), texts("comparing.all_hold"), class_="holds")]
    return [
        el("li", mark(state, texts), el("strong", label), f" {said}", class_=state)
        for label, (state, said) in zip(comparison.labels, states, strict=True)
    ]


def _section(key: str, content: Markup, texts: Texts) -> Markup:
    return el(
        "section",
        el(
            "div",
            el("h2", texts(f"comparing.{key}.title"), id=f"{key}-title"),
            el("p", texts(f"comparing.{key}.lead")),
            class_="intro",
        ),
        content,
        id=key,
        aria_labelledby=f"{key}-title",
    )


def _overlay(comparison: Comparison, texts: Texts) -> Markup:
    """Return the drawing with its choices, and the differences in sentences."""
    ways = [el("option", texts(f"comparing.aligned.{key}"), value=key) for key in ALIGNED]
    others = [el("option", label, value=i) for i, label in enumerate(comparison.labels[1:], 1)]
    choices = el(
        "div",
        _choice(texts("comparing.aligned.label"), "align", ways),
        _choice(texts("comparing.marked"), "marked", others) if len(others) > 1 else None,
        class_="choices controls",
        hidden=True,
    )
    drawn = el(
        "div",
        overlay(comparison, texts),
        class_="scroll wide",
        tabindex=0,
        role="group",
        aria_label=texts("comparing.overlay.title"),
    )
    return together(
        choices,
        el("p", texts("drawing.move"), class_="move"),
        drawn,
        told(comparison, texts),
    )


def _choice(label: str, key: str, options: list[Markup]) -> Markup:
    return el("label", el("span", label), el("select", *options, id=key))


def _pair(comparison: Comparison, texts: Texts) -> Markup:
    """Return the stage for two bikes in 3D, empty until scripts fill it."""
    named = list(enumerate(comparison.labels))
    solid = [el("option", label, value=i) for i, label in named]
    ghost = [el("option", label, value=i, selected=i == 1) for i, label in named]
    ghost.append(el("option", texts("comparing.no_ghost"), value=""))
    return el(
        "div",
        el(
            "div",
            _choice(texts("comparing.solid"), "solid", solid),
            _choice(texts("comparing.ghost"), "ghost", ghost),
            class_="choices controls",
            hidden=True,
        ),
        stage(texts),
    )


def _lines(plots: tuple[Plot, ...], texts: Texts) -> Markup:
    geared = any(plot.key in ("anti_squat", "chain_growth", "kickback") for plot in plots)
    return together(
        gathered(plots, texts),
        el("p", texts("comparing.middle_gear"), class_="remark") if geared else None,
    )
