"""Every flat part of a frame with its outline, thickness and what goes into its holes, for sheets.

A plain rear dropout is no flat part: its arms taper to the stays, which seldom end in its plane.
Housings and lugs are turned or milled, but for those with a tab of the file.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from frame3d.geometry.closed_path import Path
from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.extrusion import Plane
from frame3d.geometry.outline import Hole, Outline
from frame3d.parameters.models.junctions import Side
from frame3d.plates.patches import Blank, blank_of
from frame3d.plates.sheet_material import sheet_material
from frame3d.tubes.features.patches import patches
from frame3d.tubes.frame import Frame
from frame3d.tubes.hardware import DROPOUT, FORK_DROPOUT, LinkPlate, Lug
from frame3d.tubes.plate import Plate
from frame3d.tubes.tube import Dropout

PATCH = "patch"
"""Kind of a patch's blank, which is rolled once cut."""


@dataclass(frozen=True)
class FlatPart:
    """One shape that is cut from plate, once or as often as the frame needs it."""

    name: str
    """``head_gusset``, ``shock_tab``, ``plate_rocker``; without left and right"""
    key: str
    """Dotted path in the parameter file: ``plates.shock_tab``, ``suspension.links.rocker``."""
    kind: str
    outline: Outline
    """In axes of its own, as it is cut; what is made by hand afterwards is in `remarks`."""
    thickness: float
    material: str
    density: float
    """[g/cm³]"""
    names: tuple[str, ...]
    """Names of the parts of the frame that are cut so: one, or left and right."""
    sides: tuple[Side | None, ...]
    """Of each; the right one is the left one turned over."""
    plane: Plane
    """Where the first of them lies: the outline's axes in the bike's."""
    low: float
    """Height of its lower face above the plane [mm]."""
    link: str | None = None
    """Link of the rear suspension that it moves with; None on the front frame."""
    remarks: tuple[str, ...] = ()
    """What the outline does not show."""

    @property
    def count(self) -> int:
        """How many the frame needs."""
        return len(self.names)

    @property
    def is_mirrored(self) -> bool:
        """Whether left and right are mirror images that turning over does not give: it has pockets."""
        return self.count == 2 and bool(self.outline.pockets)


def flat_parts_of(frame: Frame) -> tuple[FlatPart, ...]:
    """Return every flat part of a frame: plates in the file's order, plates of links, flat dropouts.

    Outlines are in axes that move with the part, so exchanged parts of the bike change none.
    """
    return (*_plates(frame), *_link_plates(frame), *_dropouts(frame), *_patches(frame))


def _patches(frame: Frame) -> Iterator[FlatPart]:
    """Yield the blank of each patch around a port, left and right of a pair as one part."""
    tubes = {tube.name: tube for tube in frame.tubes}
    labels = {
        patch.label: [feature.side for feature in frame.features if patch.label in feature.labels]
        for feature in frame.features
        for patch in patches(feature, tubes[feature.tube])
    }
    for feature in frame.features:
        tube = tubes[feature.tube]
        for patch in patches(feature, tube):
            sides = labels.pop(patch.label, None)
            if sides is None:
                continue  # the right one of a pair
            blank = blank_of(patch, tube)
            yield FlatPart(
                name=f"patch_{patch.label}",
                key=feature.path,
                kind=PATCH,
                outline=blank.outline,
                thickness=patch.thickness,
                material=tube.material,
                density=tube.density,
                names=tuple(
                    patch.label if side is None else f"{patch.label}_{side}" for side in sides
                ),
                sides=tuple(sides),
                plane=blank.plane,
                low=0.0,
                link=tube.link,
                remarks=(
                    _rolled(blank, feature.key.replace("_", " "))
                    + "; x runs along the tube, y around it",
                    "without the port's hole, which is opened through the patch once it is joined, "
                    "from the hole in the tube",
                ),
            )


def _rolled(blank: Blank, tube: str) -> str:
    """Return in words how a blank is brought onto its tube."""
    bent = ""
    if blank.stretch > 1e-3:
        bent = f" (its sheet stretches by up to {100 * blank.stretch:.1f} %)"
    if not blank.radii:
        return f"stays flat across, on a flat side of {tube}{bent}"
    radii = " and ".join(f"{radius:.1f}" for radius in blank.radii)
    what = "radii" if blank.radii[1:] else "a radius"
    return f"rolled to the outside of {tube}, {what} of {radii}{bent}"


def _plates(frame: Frame) -> Iterator[FlatPart]:
    found: dict[str, list[Plate]] = {}
    lugs = (item.plate for item in frame.pivots if isinstance(item, Lug))
    for plate in (*frame.plates, *(plate for plate in lugs if plate is not None)):
        found.setdefault(plate.key, []).append(plate)
    for key, made in found.items():
        first = made[0]
        on = ", ".join(name.replace("_", " ") for name in first.on)
        remarks: tuple[str, ...] = ()
        if key == FORK_DROPOUT:
            remarks = (f"its tang goes into the slotted end of {on}",)
        elif first.kind != "path" and on:
            remarks = (
                f"the edge on {on} is where the plate's faces touch: file it hollow to fit, or fill "
                "the gap with weld",
            )
        elif on:
            remarks = (f"what of it lies inside of {on} is cut off there",)
        outline = first.outline
        if first.kind == "pivot_tab":
            outline = replace(outline, holes=tuple(_of_lug(frame, first)))
        yield FlatPart(
            name=key,
            key="build.dropout.hanger" if first.kind == "hanger" else f"plates.{key}",
            kind=first.kind,
            outline=outline,
            thickness=first.thickness,
            material=first.material,
            density=first.density,
            names=tuple(plate.name for plate in made),
            sides=tuple(plate.side for plate in made),
            plane=first.plane,
            low=first.low,
            link=first.link,
            remarks=remarks,
        )


def _of_lug(frame: Frame, plate: Plate) -> Iterator[Hole]:
    """Yield the holes of a tab at a point of the suspension, with what goes into them."""
    lug = next(item for item in frame.pivots if item.name == plate.name)
    assert isinstance(lug, Lug)
    for hole in plate.outline.holes:
        yield replace(hole, note=_in_hole(frame, lug.pivot, hole.diameter))


def _dropouts(frame: Frame) -> Iterator[FlatPart]:
    """Yield flat dropouts: left and right as one part where they are of one shape."""
    flat = [one for one in frame.dropouts if one.plate is not None]
    shapes = [one.plate.outline for one in flat if one.plate is not None]
    same = len(flat) == 2 and shapes[1] == shapes[0].opposite()
    for group in [flat] if same else [[one] for one in flat]:
        plate = group[0].plate
        if plate is None:
            continue
        yield FlatPart(
            name=DROPOUT if same else plate.name,
            key="build.dropout",
            kind="dropout",
            outline=plate.outline,
            thickness=plate.thickness,
            material=plate.material,
            density=plate.density,
            names=tuple(one.name for one in group),
            sides=tuple(one.side for one in group),
            plane=plate.plane,
            low=plate.low,
            link=plate.link,
            remarks=tuple(_of_dropout(group[0])),
        )


def _of_dropout(dropout: Dropout) -> Iterator[str]:
    """Yield what a flat dropout's outline does not show."""
    stays = ", ".join(
        name.removesuffix(f"_{dropout.side}").replace("_", " ") for name, _ in dropout.stays
    )
    hood, slide = dropout.hood, dropout.slide
    if stays and hood is not None:
        yield (
            f"a hood on the end of {stays}: wall {hood.wall:g}, {hood.depth:g} over the stay, closed "
            f"over {hood.back:g} behind its end; cut the arm back to the stay's end within it"
        )
    if dropout.mount is not None:
        first = dropout.mount.blocks[0]
        yield (
            f"the straight edge carries the {len(dropout.mount.blocks)} blocks of the brake mount, "
            f"{first.width:g} wide and {dropout.mount.apart:g} apart, which lap over the inner face"
        )
    if slide is not None:
        yield "the axle clamps on both faces about its slot: keep them flat and parallel"
        if slide.stop is not None:
            tapped = f" and tapped {slide.stop_thread}" if slide.stop_from == "front" else ""
            yield (
                f"the slot's stop, {slide.stop_thread}: drilled {slide.stop_drill:g}{tapped} along the "
                f"slot from the {slide.stop_from} edge, in the middle of the thickness"
            )


def _link_plates(frame: Frame) -> Iterator[FlatPart]:
    found: dict[str, list[LinkPlate]] = {}
    for item in frame.pivots:
        if isinstance(item, LinkPlate):
            found.setdefault(item.link, []).append(item)
    for link, made in found.items():
        outline, plane, low = _of_link(frame, made[0])
        own = made[0].own
        material = (own.material, own.density) if own is not None else sheet_material(frame.spec)
        bosses = [
            f"{boss.pivot.replace('_', ' ')}: {', '.join(sides)}"
            for boss in made[0].bosses
            if (sides := _standing(made[0], boss.low, boss.high))
        ]
        yield FlatPart(
            name=made[0].name.removesuffix(f"_{made[0].side}"),
            key=f"suspension.links.{link}",
            kind="link plate",
            outline=outline,
            thickness=made[0].plate.thickness,
            material=material[0],
            density=material[1],
            names=tuple(item.name for item in made),
            sides=tuple(item.side for item in made),
            plane=plane,
            low=low,
            link=link,
            remarks=tuple(f"boss at {boss}" for boss in bosses),
        )


def _standing(item: LinkPlate, low: float, high: float) -> list[str]:
    """Return how far a boss stands out of a plate's faces, as text."""
    inner, outer = item.plate.low - low, high - item.plate.high
    if item.side == "right":
        inner, outer = outer, inner
    return [
        f"{out:g} mm proud of the {face} face"
        for out, face in ((inner, "inner"), (outer, "outer"))
        if out > 1e-6
    ]


def _of_link(frame: Frame, item: LinkPlate) -> tuple[Outline, Plane, float]:
    """Return a link plate's outline, its plane, and the height of its low face.

    Its x runs from the first boss to the last.

    Seen from the drive side, as all plates in the side view.
    """
    first, last = item.bosses[0], item.bosses[-1]
    along = np.array([last.x - first.x, 0.0, last.z - first.z])
    length = float(np.hypot(along[0], along[2]))
    c, s = (float(v) / length for v in along[[0, 2]]) if length > 1e-9 else (1.0, 0.0)
    plane = Plane((first.x, 0.0, first.z), (c, 0.0, s), (-s, 0.0, c))

    def local(x: float, z: float) -> tuple[float, float]:
        dx, dz = x - first.x, z - first.z
        return c * dx + s * dz, c * dz - s * dx

    discs = tuple((*local(x, z), r) for x, z, r in item.plate.discs)
    holes = tuple(
        Hole(*local(boss.x, boss.z), boss.bore, note=_in_hole(frame, boss.pivot, boss.bore))
        for boss in item.bosses
        if boss.bore > 0
    )
    if item.own is not None:
        own = item.own.outline
        outline = replace(own, holes=(*holes, *own.holes[len(holes) :]))
        return outline, item.own.plane, item.own.low
    outline = Outline(Path.of_flat(Flat(discs, item.plate.low, item.plate.high)), holes)
    # The plane's normal is -y, so heights above it are -y.
    return outline, plane, -item.plate.high + 0.0


def _in_hole(frame: Frame, pivot: str, bore: float) -> str:
    """Return what goes into a link plate's hole."""
    suspension = frame.spec.suspension
    given = None if suspension is None else suspension.pivots.get(pivot)
    bearing = None if given is None else given.bearing
    name = pivot.replace("_", " ")
    if bearing is not None and abs(bearing.od - bore) < 1e-6:
        return f"bearing {bearing.od:g} x {bearing.width:g} of {name}"
    return f"axle of {name}"
