"""The report as one self-contained HTML file, which loads nothing."""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from string import Template
from typing import Any, Final

from frame3d.formats.writer import WrittenSet, write
from frame3d.progress import Progress
from frame3d.report.audience import Audience
from frame3d.report.data import ReportData, page_document
from frame3d.report.drawing.side_view import bike_symbol, drawing
from frame3d.report.drawing.silhouette import symbols
from frame3d.report.markup import Markup, el, text, together
from frame3d.report.own_parts.section import own_parts
from frame3d.report.ride_sections.every_topic import ride_sections
from frame3d.report.scene import compact
from frame3d.report.sections.clearances import clearances, riding
from frame3d.report.sections.figures import figures
from frame3d.report.sections.heading import glance, heading
from frame3d.report.sections.model import model
from frame3d.report.sections.notes import caution, notes, own_notes
from frame3d.report.sections.parts import carried, equipped, masses
from frame3d.report.sections.rider import rider
from frame3d.report.sections.seat_angles import seat_angles
from frame3d.report.sections.seatpost import seatpost
from frame3d.report.sections.sizes import sizes
from frame3d.report.sections.suspension import suspension
from frame3d.report.stiffness_sections.section import section as stiffness
from frame3d.report.texts import Texts
from frame3d.report.texts import texts as of_language
from frame3d.version import __version__
from frame3d.viewer.modules import joined, viewer_source
from frame3d.viewer.three_bundle import three_bundle

FILE: Final = "report.html"
MANIFEST: Final = "report.sha256"
"""List of the report's files, where there are several."""
LEVEL: Final = 9
"""Level of gzip: slow, but small."""
ICON: Final = (
    "data:image/svg+xml,"
    "%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 32 32'%3E"
    "%3Cg fill='none' stroke='%231d5c50' stroke-width='2.6' stroke-linejoin='round'%3E"
    "%3Ccircle cx='7.5' cy='20' r='5.5'/%3E%3Ccircle cx='24.5' cy='20' r='5.5'/%3E"
    "%3Cpath d='M7.5 20l5-8.5 9.5-1L14.5 20zM12.5 11.5l2 8.500M21 7.500l3.500 12.500'/%3E"
    "%3C/g%3E%3C/svg%3E"
)


def report_page(data: ReportData, language: str = "en", audience: Audience = "builder") -> bytes:
    """Return the page.

    Args:
        data: from `frame3d.report.data.gather`.
        language: of its texts.
        audience: whom it is for.

    Raises:
        OutputError: the three.js bundle of the nicegui package is not where it should be.
    """
    texts = of_language(language)
    return assembled(
        texts,
        title=texts("page.title", name=data.bike.spec.title),
        content=body(data, texts, audience),
        glb=data.meshes.glb,
        document=page_document(data, texts, audience),
        style=stylesheet(),
        script=page_script(),
    )


def assembled(
    texts: Texts,
    *,
    title: str,
    content: Markup,
    glb: bytes,
    document: Mapping[str, Any],
    style: str,
    script: str,
) -> bytes:
    """Return one file that loads nothing, from what is visible and what its scripts need.

    Args:
        texts: of the page's language.
        title: of the window.
        content: visible content, complete without scripts.
        glb: what its scripts show in 3D.
        document: what else they need, as plain data.
        style: sheet.
        script: the page's own.

    Raises:
        OutputError: the three.js bundle of the nicegui package is not where it should be.
    """
    three, viewer = _modules()
    page = _template().substitute(
        language=text(texts("language")),
        policy=text(policy(style, script)),
        title=text(title),
        icon=ICON,
        style=style,
        body=content,
        three=three,
        viewer=viewer,
        glb=packed(glb),
        document=packed(compact(document).encode()),
        script=script,
    )
    return page.encode("utf-8")


def write_report(
    data: ReportData,
    folder: Path,
    progress: Progress | None = None,
    audience: Audience = "builder",
) -> WrittenSet:
    """Write ``report.html``, and where a spring is set up for a rider ``set_up_sheet.pdf``.

    With a sheet goes a list of both with check sums, by which the next report takes away a sheet that it
    no longer has.

    Raises:
        OutputError: they cannot be written; older ones are unchanged.
    """
    from frame3d.report import set_up_sheet  # with its fonts, which the page does not need

    files = {FILE: report_page(data, audience=audience)}
    sheet = set_up_sheet.set_up_sheet(data.bike.spec, data.ride.springs, of_language("en"))
    if sheet is not None:
        files[set_up_sheet.FILE] = sheet
    listed = sheet is not None or (folder / MANIFEST).is_file()
    manifest = MANIFEST if listed else None
    return write(files, folder, manifest=manifest, progress=progress)


def policy(style: str, script: str) -> str:
    """Return the content security policy (W3C, Content Security Policy Level 3).

    Nothing may be loaded. Only this style, this script and the modules that it unpacks are allowed; the
    page's icon is a data: URL.
    """
    return (
        "default-src 'none'; "
        f"script-src '{digest(script)}' blob:; "
        f"style-src '{digest(style)}'; "
        "img-src data: blob:; base-uri 'none'; form-action 'none'"
    )


def digest(inline: str) -> str:
    """Return the CSP source expression of an inline element's text: its SHA-256."""
    return "sha256-" + base64.b64encode(hashlib.sha256(inline.encode("utf-8")).digest()).decode()


def packed(data: bytes) -> str:
    """Return bytes as gzip in base64: reproducible, and without characters special to HTML."""
    return base64.b64encode(gzip.compress(data, LEVEL, mtime=0)).decode()


@cache
def _modules() -> tuple[str, str]:
    """Return the packed three.js bundle and viewer (cached)."""
    return packed(three_bundle().encode()), packed(viewer_source().encode())


@cache
def stylesheet() -> str:
    """Return the style sheet."""
    palette = json.loads(_asset("palette.json"))

    def colours(theme: str, indent: str) -> str:
        lines = [f"{indent}color-scheme: {theme};"]
        lines += [f"{indent}--{name}: {value};" for name, value in palette[theme].items()]
        return "\n".join(lines)

    return (
        f":root {{\n{colours('light', '  ')}\n}}\n"
        "@media screen and (prefers-color-scheme: dark) {\n"
        f"  :root:not([data-theme=light]) {{\n{colours('dark', '    ')}\n  }}\n}}\n"
        f"@media screen {{\n  :root[data-theme=dark] {{\n{colours('dark', '    ')}\n  }}\n}}\n"
        + _asset("page.css")
        + _asset("print.css")
    )


@cache
def page_script() -> str:
    """Return the page's own scripts, joined."""
    return safe_script(joined(scripts_of("frame3d.report"), "boot.js", ("boot",)))


def scripts_of(package: str) -> dict[str, str]:
    """Return the scripts of a package's page by file name."""
    folder = files(package) / "page_files"
    return {
        f.name: f.read_text(encoding="utf-8") for f in folder.iterdir() if f.name.endswith(".js")
    }


def safe_script(script: str) -> str:
    """Return a script that can stand in a page: nothing in it ends its element."""
    assert not re.search(r"</script|<!--", script, re.IGNORECASE)
    return script


def _asset(name: str) -> str:
    return (files("frame3d.report") / "page_files" / name).read_text(encoding="utf-8")


def _template() -> Template:
    return Template(_asset("index.html"))


def body(data: ReportData, texts: Texts, audience: Audience = "builder") -> Markup:
    """Return the page's visible content, complete without scripts."""
    moving = "suspension" if data.travelled is not None else "fork"
    has_parts = bool(data.meshes.glb)
    sections: list[tuple[str, Markup | None]] = [
        ("model", model(data, texts) if has_parts else None),
        ("figures", figures(data, texts, audience)),
        ("sizes", sizes(data, texts)),
        ("drawing", _drawing(data, texts)),
        ("own_parts", own_parts(data, texts)),
        ("seat", seat_angles(data, texts)),
        (moving, suspension(data, texts, audience)),
    ]
    riding_topics = ride_sections(data, texts, audience)
    if audience == "builder":
        sections += [
            ("clearances", clearances(data, texts)),
            ("parts", _side_by_side(masses(data, texts), _carried(data, texts))),
            ("stiffness", stiffness(data, texts)),
            ("rider", rider(data, texts)),
            *riding_topics,
            ("notes", notes(data, texts)),
        ]
    else:
        sections += [
            ("riding", riding(data, texts)),
            ("equipment", equipped(data, texts)),
            ("rider", rider(data, texts)),
            *riding_topics,
            ("own_notes", own_notes(data)),
        ]
    shown = [(key, content) for key, content in sections if content is not None]
    links = [el("a", texts(f"section.{key}.title"), href=f"#{key}") for key, _ in shown]
    return together(
        el("a", texts("page.skip"), href="#figures", class_="skip"),
        bike_symbol(data.side),
        symbols(data.figure),
        el(
            "header",
            heading(data, texts, audience),
            controls(texts),
            class_="top",
        ),
        el("nav", *links, aria_label=texts("page.contents")),
        el(
            "main",
            *(
                together(glance(data, texts) if key == "figures" else None, section)
                for key, section in ((k, _section(data, k, c, texts)) for k, c in shown)
            ),
        ),
        el(
            "footer",
            caution(texts),
            el("p", texts("page.made", version=__version__), class_="made"),
        ),
    )


def _drawing(data: ReportData, texts: Texts) -> Markup:
    """Return the dimensioned drawing; on a narrow screen it is moved sideways, and says so."""
    label = texts("section.drawing.title")
    return together(
        _with_rider(texts) if data.figure is not None else None,
        el("p", texts("drawing.move"), class_="move"),
        el(
            "div",
            drawing(data.side, texts, data.figure),
            class_="scroll wide",
            tabindex=0,
            role="group",
            aria_label=label,
        ),
    )


def _with_rider(texts: Texts) -> Markup:
    """Return the choice whether the drawing shows the rider, which needs no script."""
    return el(
        "label",
        el("input", type="checkbox", id="drawing-rider"),
        el("span", texts("mannequin.show")),
        class_="choice",
    )


def _section(data: ReportData, key: str, content: Markup, texts: Texts) -> Markup:
    error = max((r.error for r in data.report.results), default=0.0)
    lead = texts(f"section.{key}.lead", error=texts.number(error, 2))
    return el(
        "section",
        el(
            "div",
            el("h2", texts(f"section.{key}.title"), id=f"{key}-title"),
            el("p", lead),
            class_="intro",
        ),
        content,
        id=key,
        aria_labelledby=f"{key}-title",
    )


def controls(texts: Texts) -> Markup:
    """Return the choice of colours and the button that prints, which scripts show."""
    themes = [
        el("option", texts(f"page.theme.{key}"), value=key) for key in ("auto", "light", "dark")
    ]
    return el(
        "div",
        el("label", el("span", texts("page.theme.label")), el("select", *themes, id="theme")),
        el("button", texts("page.print"), type="button", id="print"),
        class_="controls",
        hidden=True,
    )


def _carried(data: ReportData, texts: Texts) -> Markup | None:
    parts = [part for part in (carried(data, texts), seatpost(data, texts)) if part is not None]
    return together(*parts) if parts else None


def _side_by_side(*parts: Markup | None) -> Markup | None:
    there = [el("div", part) for part in parts if part is not None]
    return el("div", *there, class_="halves") if there else None
