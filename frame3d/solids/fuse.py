"""The frame as one solid, by one union and one cut of solids in which no two faces coincide."""

from __future__ import annotations

from typing import TYPE_CHECKING

from frame3d.errors import SolidError
from frame3d.solids import kernel
from frame3d.solids.sweep import Sweep

if TYPE_CHECKING:
    from OCP.TopoDS import TopoDS_Shape

    from frame3d.solids.model import FrameModel

AGREEMENT = 1e-4
"""Greatest relative difference between the fused volume and the sum of the parts."""


def fused(model: FrameModel) -> TopoDS_Shape:
    """The parts of a model as one solid.

    As in `mesh.frame_mesh`: tubes, filled and trimmed to within the wall of what they meet, are
    united; then bores, each ending where a cut ends its tube, and drillings are taken out.

    Raises:
        SolidError: the kernel fails, or the result is not one valid solid of the parts' volume.
    """
    made: dict[Sweep, TopoDS_Shape] = {}

    def solid(sweep: Sweep) -> TopoDS_Shape:
        if sweep not in made:
            made[sweep] = kernel.solid(sweep)
        return made[sweep]

    outsides = {body.name: body.metal for body in model.bodies}
    metal: list[TopoDS_Shape] = []
    taken: dict[Sweep, TopoDS_Shape] = {}
    try:
        for body in model.bodies:
            trims = [solid(s) for cut in body.cuts for s in cut.core]
            trims += [solid(s) for s in body.holes]
            whole = kernel.fuse([solid(s) for s in body.metal])
            metal.append(kernel.largest(kernel.cut(whole, trims)))
            ends = [solid(s) for cut in body.cuts for s in outsides[cut.body]]
            for void in body.voids:
                taken[void] = kernel.cut(solid(void), ends)
            for drill in body.drills:
                taken[drill] = solid(drill)
        whole = kernel.cut(kernel.fuse(metal), list(taken.values()))
    except kernel.KernelError as problem:
        raise _failed(model, str(problem)) from problem
    pieces = kernel.solids(whole)
    if len(pieces) != 1:
        raise _failed(model, f"the fused frame falls into {len(pieces)} solids")
    volume = kernel.bulk(pieces[0]).volume
    if abs(volume / model.volume - 1) > AGREEMENT or not kernel.is_valid(pieces[0]):
        raise _failed(
            model,
            f"the fused frame has {volume:.0f} mm³ of metal where its parts have "
            f"{model.volume:.0f} mm³",
        )
    return pieces[0]


def _failed(model: FrameModel, message: str) -> SolidError:
    return SolidError(
        model.layout.spec.fault(
            "solid",
            "tubes",
            message,
            "the parts are sound by themselves; use them, or move tubes that barely touch",
        )
    )
