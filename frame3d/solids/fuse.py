"""The frame as one solid: its finished parts, which touch along their mitres, fused at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from frame3d.errors import SolidError
from frame3d.solids import kernel

if TYPE_CHECKING:
    from OCP.TopoDS import TopoDS_Shape

    from frame3d.solids.model import FrameModel

AGREEMENT = 1e-4
"""Greatest relative difference between the fused volume and the sum of the parts."""


def fused(model: FrameModel) -> TopoDS_Shape:
    """The parts of a model as one solid with one boundary.

    Parts touch and do not overlap, which the kernel can be told: a third of the time (measured). What
    comes out is held against the parts, and if it falls short, fused again without that shortcut.

    Raises:
        SolidError: the kernel fails, or the result is not one valid solid of the parts' volume.
    """
    shapes = [part.shape for part in model.parts]
    problem = ""
    for touching in (True, False):
        try:
            whole = kernel.fuse(shapes, touching=touching)
        except kernel.KernelError as failure:
            problem = str(failure)
            continue
        problem = _problem(whole, model.volume)
        if not problem:
            return kernel.largest(whole)
    raise SolidError(
        model.layout.spec.fault(
            "solid",
            "tubes",
            f"the frame could not be fused: {problem}",
            "the parts are sound by themselves; use them, or move tubes that barely touch",
        )
    )


def _problem(whole: TopoDS_Shape, expected: float) -> str:
    """What is wrong with a fused frame; empty where nothing is."""
    pieces = kernel.solids(whole)
    if len(pieces) != 1:
        return f"it falls into {len(pieces)} solids"
    if (count := len(kernel.shells(pieces[0]))) != 1:
        return f"it encloses {count - 1} cavities that nothing reaches"
    volume = kernel.bulk(pieces[0]).volume
    if abs(volume / expected - 1) > AGREEMENT:
        return f"it has {volume:.0f} mm³ of metal where its parts have {expected:.0f} mm³"
    return "" if kernel.is_valid(pieces[0]) else "the kernel calls its own result invalid"
