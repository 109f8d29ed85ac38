"""The section of a comparison on stiffness: every bike beside the first."""

from __future__ import annotations

from frame3d.report.comparing.data import Comparison
from frame3d.report.markup import Markup, el, together
from frame3d.report.stiffness_sections.beside import beside, remarks
from frame3d.report.texts import Texts


def stiffness(comparison: Comparison, texts: Texts) -> Markup | None:
    """Return ratios, figures and remarks, and why a bike has none; None where nothing can be said."""
    shown = comparison.stiffness
    faults = [
        el("p", f"{label}: {fault.render()}", class_="remark own")
        for label, one in zip(comparison.labels, comparison.measured, strict=True)
        for fault in one.no_stiffness
    ]
    if shown is None:
        return together(*faults) if faults else None
    return together(beside(shown, texts), remarks(shown, texts), *faults)
