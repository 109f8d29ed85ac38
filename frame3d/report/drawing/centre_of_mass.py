"""The usual symbol of a centre of mass: a circle with two opposite quarters filled."""

from __future__ import annotations

from frame3d.report.drawing.sheet import XZ
from frame3d.report.markup import Markup, el


def centre_of_mass(at: XZ, radius: float = 26.0, name: str = "") -> Markup:
    """Return the symbol at a point of a drawing.

    Args:
        at: x forward, z up [mm].
        radius: [mm].
        name: a class beside ``centre``, e.g. the posture.
    """
    x, y, r = at[0], -at[1], radius
    quarters = (
        f"M{x:.1f} {y:.1f}V{y - r:.1f}A{r} {r} 0 0 1 {x + r:.1f} {y:.1f}Z"
        f"M{x:.1f} {y:.1f}V{y + r:.1f}A{r} {r} 0 0 1 {x - r:.1f} {y:.1f}Z"
    )
    return el(
        "g",
        el("circle", cx=f"{x:.1f}", cy=f"{y:.1f}", r=r, class_="ring"),
        el("path", d=quarters, class_="quarters"),
        class_=f"centre {name}".strip(),
    )
