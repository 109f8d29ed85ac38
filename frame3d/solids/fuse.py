"""Fuse finished parts that touch into one solid, or one for each rigid body."""

from __future__ import annotations

from typing import TYPE_CHECKING

from frame3d.errors import SolidError
from frame3d.solids import occ
from frame3d.solids.body import pieces

if TYPE_CHECKING:
    from OCP.TopoDS import TopoDS_Shape

    from frame3d.solids.model import FrameModel, FramePart

AGREEMENT = 1e-4
"""Greatest relative difference between the fused volume and the sum of the parts."""


def fused(model: FrameModel) -> TopoDS_Shape:
    """Return the parts of a model as one solid with one boundary.

    With a rear suspension, a compound of solids: the front frame first, then each link, in the order
    of the parts. A link whose halves only axles connect, such as a pair of plates, is two solids.

    Raises:
        SolidError: the kernel fails, or the front frame or a link is not one valid solid of its
            parts' volume.
    """
    front = [part for part in model.parts if part.link is None]
    groups = [front] if front else []
    links = {part.name: part for part in model.parts if part.link is not None}
    for names in pieces(model.bodies):
        if names[0] in links:
            groups.append([links[name] for name in names])
    solids = [_one(model, parts) for parts in groups]
    return solids[0] if len(solids) == 1 else occ.compound(solids)


def _one(model: FrameModel, parts: list[FramePart]) -> TopoDS_Shape:
    """Return parts fused into one solid.

    They touch and do not overlap; told so, the kernel takes a third of the time (measured). The
    result is compared with the parts, and if it is wrong, fused again without that shortcut.

    Raises:
        SolidError: both ways fail.
    """
    shapes = [part.shape for part in parts]
    volume = sum(part.volume for part in parts)
    problem = ""
    for touching in (True, False):
        try:
            whole = occ.fuse(shapes, touching=touching)
        except occ.KernelError as failure:
            problem = str(failure)
            continue
        problem = _problem(whole, volume)
        if not problem:
            return occ.largest(whole)
    what = "the frame" if parts[0].link is None else parts[0].link
    raise SolidError(
        model.bike.spec.fault(
            "solid",
            "tubes",
            f"{what} could not be fused: {problem}",
            "the parts are sound by themselves; use them, or move tubes that barely touch",
        )
    )


def _problem(whole: TopoDS_Shape, expected: float) -> str:
    """Return what is wrong with fused parts; empty if nothing is."""
    found = occ.solids(whole)
    if len(found) != 1:
        return f"it falls into {len(found)} solids"
    if (count := len(occ.shells(found[0]))) != 1:
        return f"it encloses {count - 1} cavities that nothing reaches"
    volume = occ.bulk(found[0]).volume
    if abs(volume / expected - 1) > AGREEMENT:
        return f"it has {volume:.0f} mm³ of metal where its parts have {expected:.0f} mm³"
    return "" if occ.is_valid(found[0]) else "the kernel calls its own result invalid"
