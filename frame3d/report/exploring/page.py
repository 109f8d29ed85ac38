"""An exploration as one self-contained HTML file, which loads nothing."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path
from string import Template
from typing import Final

from frame3d.explore.exploration import Exploration
from frame3d.formats.writer import stated_date, write
from frame3d.progress import Progress
from frame3d.report.exploring.document import document
from frame3d.report.exploring.echarts_bundle import echarts_bundle
from frame3d.report.exploring.far import progress
from frame3d.report.exploring.sections import (
    Page,
    asked,
    best,
    front,
    pointed,
    sensitivities,
    verdict,
)
from frame3d.report.markup import Markup, el, text, together
from frame3d.report.page import (
    ICON,
    controls,
    packed,
    policy,
    safe_script,
    scripts_of,
    stylesheet,
)
from frame3d.report.scene import compact
from frame3d.report.sections.heading import mark
from frame3d.report.sections.notes import caution
from frame3d.report.texts import Texts
from frame3d.report.texts import texts as of_language
from frame3d.version import __version__
from frame3d.viewer.modules import joined

FILE: Final = "explore.html"


def write_exploration(
    exploration: Exploration, folder: Path, progress: Progress | None = None
) -> Path:
    """Write ``explore.html``.

    Raises:
        OutputError: it cannot be written; an older one is unchanged.
    """
    return write({FILE: page_of(exploration)}, folder, progress=progress).files[0]


def page_of(exploration: Exploration, language: str = "en") -> bytes:
    """Return the page.

    Args:
        exploration: what was found.
        language: of its texts.

    Raises:
        OutputError: the ECharts bundle of the nicegui package is not where it should be.
    """
    texts = of_language(language)
    page = Page(exploration, texts)
    style, script = stylesheet() + own_style(), _script()
    made = Template(_asset("index.html")).substitute(
        language=text(texts("language")),
        policy=text(policy(style, script)),
        title=text(texts("exploring.title", name=_name(exploration))),
        icon=ICON,
        style=style,
        body=body(page),
        charts=_charts(),
        document=packed(compact(document(page)).encode()),
        script=script,
    )
    return made.encode("utf-8")


@cache
def own_style() -> str:
    """Return what this page's style sheet adds to that of the report."""
    return _asset("explore.css")


@cache
def _script() -> str:
    """Return the page's scripts, joined with those of the report's that they need."""
    own, library = scripts_of("frame3d.report.exploring"), scripts_of("frame3d.report")
    return safe_script(joined(own, "explore.js", ("explore",), library))


@cache
def _charts() -> str:
    return packed(echarts_bundle().encode())


def _asset(name: str) -> str:
    return (files("frame3d.report.exploring") / "page_files" / name).read_text(encoding="utf-8")


def _name(exploration: Exploration) -> str:
    """Return the study's name: its file's without the ending."""
    return Path(exploration.study.source).stem.replace("_", " ")


def body(page: Page) -> Markup:
    """Return the page's visible content, complete without scripts."""
    texts = page.texts
    there = len(page.shown.rows) > 0
    sections: list[tuple[str, Markup | None]] = [
        ("asked", asked(page)),
        ("far", progress(page)),
        ("designs", _designs(page) if there else None),
        ("front", front(page)),
        ("best", best(page)),
        ("sensitivities", sensitivities(page)),
    ]
    shown = [(key, content) for key, content in sections if content is not None]
    links = [el("a", texts(f"exploring.{key}.title"), href=f"#{key}") for key, _ in shown]
    return together(
        el("a", texts("page.skip"), href="#best", class_="skip"),
        el("header", _heading(page), controls(texts), class_="top"),
        el("nav", *links, aria_label=texts("page.contents")),
        el("main", *(_section(key, content, texts) for key, content in shown)),
        el(
            "footer",
            caution(texts),
            el("p", texts("exploring.made", version=__version__), class_="made"),
        ),
    )


def _heading(page: Page) -> Markup:
    """Return what this is, the study's name, the bike, and whether a design meets every wish."""
    texts, found = page.texts, page.exploration
    date = stated_date()
    kind = [texts("exploring.kind")]
    kind += [] if date is None else [texts("page.dated", date=f"{date:%Y-%m-%d}")]
    fails = any(verdict(kept, texts)[0] == "short" for kept in found.best)
    state = "holds" if found.feasible and not fails else "short"
    key = "none" if found.feasible == 0 else "one" if found.feasible == 1 else "some"
    said = texts(f"exploring.verdict.{key}", count=f"{found.feasible:,}")
    if found.feasible and fails:
        said = f"{said}; {texts('exploring.verdict.fails')}"
    return el(
        "div",
        el("p", *(el("span", each) for each in kind), class_="kind"),
        el("h1", _name(found)[:1].upper() + _name(found)[1:]),
        el(
            "p",
            el("span", texts("exploring.of_bike", file=Path(found.study.bike_source).name)),
            class_="summary",
        ),
        el("p", mark(state, texts), el("span", said), class_=f"verdict {state}"),
        class_="heading",
    )


def _section(key: str, content: Markup, texts: Texts) -> Markup:
    return el(
        "section",
        el(
            "div",
            el("h2", texts(f"exploring.{key}.title"), id=f"{key}-title"),
            el("p", texts(f"exploring.{key}.lead")),
            class_="intro",
        ),
        content,
        id=key,
        aria_labelledby=f"{key}-title",
    )


def _designs(page: Page) -> Markup:
    """Return the places of the charts, which scripts fill, and the design that is pointed at."""
    texts = page.texts
    count, every = len(page.shown.rows), len(page.exploration.evaluations)
    some = (
        texts("exploring.some", shown=f"{count:,}", count=f"{every:,}") if count < every else None
    )
    return together(
        el("p", some, class_="remark") if some else None,
        el("p", class_="waiting", role="status", data_old=texts("page.no_decompression")),
        el(
            "div",
            el("div", class_="choices controls", id="groups"),
            el("p", class_="count", role="status", id="count"),
            el(
                "div",
                id="parallel",
                class_="plane",
                role="img",
                aria_label=texts("exploring.parallel"),
            ),
            el(
                "details",
                el("summary", texts("exploring.limits.title")),
                el("p", texts("exploring.limits.lead"), class_="remark"),
                el("div", id="limits"),
                class_="limits-form",
            ),
            hidden=True,
            class_="live",
        ),
        el(
            "div",
            el(
                "div",
                el("div", class_="choices controls", id="scatter-axes"),
                el(
                    "div",
                    id="scatter",
                    class_="plane",
                    role="img",
                    aria_label=texts("exploring.scatter"),
                ),
                hidden=True,
                class_="live",
            ),
            pointed(page),
            class_="halves with-panel",
        ),
        el("noscript", el("p", texts("exploring.without_script"), class_="remark")),
    )
