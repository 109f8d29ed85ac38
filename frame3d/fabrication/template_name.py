"""The tube's name on the paper of a template itself, which still says whose it is once it is cut out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.paper.fonts import text_width
from frame3d.paper.sheet import Sheet

if TYPE_CHECKING:
    from frame3d.fabrication.template import Panel

SIZE: Final = 2.2
"""Size of the text [mm]."""
BESIDE: Final = 1.1
"""From the middle line to the text's baseline, to its left [mm]."""
CLEAR: Final = 14.0
"""Least room below marks for the name along the edge [mm]."""
LEAST: Final = 6.5
"""Least width of a quarter turn, so that the name is clear of the line names beside it [mm]."""


def name_on(
    sheet: Sheet, panel: Panel, at: tuple[float, float], shown: tuple[float, float], name: str
) -> None:
    """Write a tube's name, and which end it is, along the middle line where there is room.

    Args:
        sheet: to draw on.
        panel: one of the tube's ends, or marks, where it stands along the lower edge; around a hole, and
            on a whole tube, nothing is written.
        at: (x, y) of the panel's middle line and of s = 0 [mm].
        shown: range of the panel's y that the page shows [mm].
        name: of the tube, in words.
    """
    if panel.crosses:
        _along_edge(sheet, panel, at, shown, name)
    if panel.straight is None or panel.width / 4 < LEAST:
        return
    rule = panel.rule(panel.straight)
    order = np.argsort(rule[:, 0])
    base = float(np.interp(-BESIDE, rule[order, 0], rule[order, 1]))
    edge = np.vstack([*panel.outer, *panel.inner])
    near = edge[(edge[:, 0] > -BESIDE - SIZE - 0.4) & (edge[:, 0] < 0.3), 1]
    if not len(near):
        return
    is_end = panel.place.at == "end"
    low, high = (
        (base + 1.6, float(near.min()) - 1.0) if is_end else (float(near.max()) + 1.0, base - 1.6)
    )
    low, high = max(low, shown[0] + 1.0), min(high, shown[1] - 1.0)
    text = _fitting((f"{name}, {panel.place.at}", name), high - low)
    if text:
        x, y = at[0] - BESIDE, at[1] + (low if is_end else high)
        sheet.text((x, y), text, SIZE, turn=90.0, align="left" if is_end else "right")


def _along_edge(
    sheet: Sheet, panel: Panel, at: tuple[float, float], shown: tuple[float, float], name: str
) -> None:
    """Write a tube's name along the lower edge of its marks, where they leave room."""
    paths = [path[:, 1] for path in (*panel.outer, *panel.covered)]
    first = float(np.concatenate([[y for _, _, y in panel.crosses], *paths]).min())
    turns = np.array([-60.0, -45.0, -30.0])
    (a, b, c) = panel.flat.at(turns, np.full(3, panel.low + 1.8))
    if first - panel.low < CLEAR or not shown[0] < float(b[1]) < shown[1]:
        return
    text = _fitting((f"{name}, marks", name), panel.width / 4 - 2.0)
    if text:
        slope = float(np.degrees(np.arctan2(c[1] - a[1], c[0] - a[0])))
        sheet.text((at[0] + b[0], at[1] + b[1]), text, SIZE, align="centre", turn=slope)


def _fitting(texts: Sequence[str], room: float) -> str:
    """Return the first text that fits; empty if none does."""
    return next((text for text in texts if text_width(text, SIZE) <= room), "")
