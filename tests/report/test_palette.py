"""Palette: contrast of every pair of colours that the page puts together (WCAG 2.2, 1.4.3 and 1.4.11).

Relative luminance and contrast ratio as WCAG 2.2 defines them (value from memory of its glossary).
"""

from __future__ import annotations

import json
import re
from importlib.resources import files

import pytest

from frame3d.report.comparing.page import own_style
from frame3d.report.page import stylesheet

PALETTE = json.loads((files("frame3d.report") / "page_files" / "palette.json").read_text("utf-8"))
TEXT, LINES = 4.5, 3.0

ON_TEXT = [
    *(("ink", ground) for ground in ("paper", "surface", "sunken", "soft", "short-soft")),
    *(("muted", ground) for ground in ("paper", "surface", "soft", "short-soft")),
    *(("accent", ground) for ground in ("paper", "surface")),
    *((state, ground) for state in ("holds", "close", "short") for ground in ("paper", "surface")),
    ("short", "short-soft"),
    ("on-accent", "accent"),
    ("dimension", "surface"),
    *((f"curve-{i}", "surface") for i in range(8)),
]
"""Text on ground: at least 4.5 : 1."""
ON_LINES = [
    ("edge", "surface"),
    ("edge", "paper"),
    ("frame-line", "surface"),
    ("frame-line", "frame"),
    ("dimension", "frame"),
    ("rider-line", "surface"),
    ("rider-line", "rider"),
    ("accent", "soft"),
]
"""Lines of controls and drawings on ground: at least 3 : 1."""


def luminance(colour: str) -> float:
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return sum(weight * c for weight, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(a: str, b: str) -> float:
    light, dark = sorted((luminance(a), luminance(b)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_of_the_extremes() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)  # a known near miss


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize(("ink", "ground"), ON_TEXT)
def test_text(theme: str, ink: str, ground: str) -> None:
    assert contrast(PALETTE[theme][ink], PALETTE[theme][ground]) >= TEXT


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize(("line", "ground"), ON_LINES)
def test_lines(theme: str, line: str, ground: str) -> None:
    assert contrast(PALETTE[theme][line], PALETTE[theme][ground]) >= LINES


def test_both_themes_have_all_colours_and_no_other_is_used() -> None:
    assert list(PALETTE["light"]) == list(PALETTE["dark"])
    style = stylesheet() + own_style()
    used = set(re.findall(r"var\(--([\w-]+)", style)) - {
        "up",
        "bar",
    }  # a raised saddle; a bike's own
    assert used <= set(PALETTE["light"])
    assert used == set(PALETTE["light"]), "a colour that nothing uses"
    after = style.split("/* The page on a screen.", 1)[1]
    assert re.findall(r"#[0-9a-f]{6}\b", after) == []
