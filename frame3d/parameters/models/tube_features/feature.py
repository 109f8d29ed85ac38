r"""FeatureSpec: a boss, port, guide, stop, eye, vent or slot of a tube.

Where it stands: along the tube's axis, from where the axis starts or ends (as `from_start` and
`from_end` of a tube's end that sits on another tube), and at an angle around it::

        section of the tube, seen toward its end
                    0  top (front on a tube too steep to have a top)
                    |
                  .-+-.
        left  ---( axis )---  right          0 is the side that bottles stand on
          90      `-+-'      -90             90 the rider's left, -90 the right; on the right one of
                    |                        a pair mirrored; on a tube across the bike 90 is forward
                   180 bottom (rear)

An angle is that between directions, as a protractor shows it, on ovals too. Holes and bosses point
to the tube's axis.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from pydantic import Field

from frame3d.parameters.models.base import Model, Problem, number
from frame3d.parameters.models.junctions import Side
from frame3d.parameters.models.tube_features.kinds import (
    ABOUT,
    ALONG,
    CLEAR,
    KEYS,
    SCREWED,
    SCREWS,
    SIZES,
    Kind,
    Screw,
    Thread,
    usual_outside,
    usual_thread,
)


class FeatureSpec(Model):
    """A feature of a tube: its kind, where it stands, its sizes."""

    kind: Kind = Field(
        ...,
        title="Kind",
        description="boss (threaded insert), port (hole for hose or cable), guide (hose or cable runs "
        "through), stop (outer cable ends in it), eye (threaded, across the tube), vent, clamp_slot "
        "(slit at the seat tube's top), collar (ring that clamps the seat tube's top: a part, no metal "
        "of the frame), flat_mount (two sleeves through the left chainstay for the brake's bolts), "
        "post_mount (two threaded posts for the rear brake's bolts, on a left stay; its place follows "
        "from rotor, axle and caliper, as a flat_mount's does where no place is given)",
        examples=["boss"],
    )
    from_start: float | None = number(
        "From the start",
        "Along the tube's axis from its start, to the middle of the feature or of its row",
        low=-200,
        high=1500,
        example=240,
    )
    from_end: float | None = number(
        "From the end",
        "Along the tube's axis from its end, to the middle of the feature or of its row",
        low=-200,
        high=1500,
        example=120,
    )
    angle: float | None = number(
        "Angle",
        "Around the tube: 0 top (front), 90 the rider's left, -90 right, 180 bottom (rear); of a pair "
        "as written for the left; on a tube across the bike 90 is forward. Left out, 0; 180 for a "
        "clamp slot, and for a collar's screw",
        low=-360,
        high=360,
        example=180,
        unit="degrees",
    )
    side: Side | None = Field(
        None,
        title="Side",
        description="Which one of a pair has it; left out, both, and of a flat mount the left",
    )
    count: int | None = Field(
        None,
        title="Count",
        description="How many in a row along the tube; left out, 2 bosses, else 1",
        ge=1,
        le=12,
        examples=[2],
    )
    spacing: float | None = number(
        "Spacing", "From one to the next in a row; left out, 64 for bosses", above=0, high=800,
        example=64,
    )  # fmt: skip
    thread: Thread | None = Field(
        None,
        title="Thread",
        description="Of a boss or eye, a collar's screw, or the bolts of a brake mount; left out, M5, "
        "of a post mount M6",
        examples=["M5"],
    )
    diameter: float | None = number(
        "Diameter",
        "Outside, of a boss, guide, stop, eye, collar or flat mount's sleeve; of the hole, for a vent; "
        "of a post mount's face, which is square, across",
        above=0,
        high=60,
        example=9,
    )
    height: float | None = number(
        "Height",
        "How far a boss, or a flat mount's sleeve on the caliper's side, stands out of the tube; of a "
        "post mount its faces, midway between them, instead of build.rear_brake.angle (15, and as much "
        "more as its bolts lean)",
        low=0,
        high=40,
        example=1.5,
    )
    depth: float | None = number(
        "Depth",
        "How far a boss reaches in from the tube's outside; how deep a post mount's thread is",
        above=0,
        high=60,
        example=12,
    )
    head: float | None = number(
        "Head",
        "How far what is screwed on stands above the boss, or below a flat mount, bolt head included; "
        "left out, a socket head",
        low=0,
        high=60,
        example=5,
    )
    width: float | None = number(
        "Width", "Of a port or slot, across its length; of an eye, across the tube", above=0, high=60,
        example=8,
    )  # fmt: skip
    length: float | None = number(
        "Length",
        "Of a port (left out, as its width: round), guide, stop, slot or collar",
        above=0,
        high=200,
        example=14,
    )
    turn: float | None = number(
        "Turn",
        "Of a port's length, from along the tube toward positive angles; left out, 0",
        low=-90,
        high=90,
        example=0,
        unit="degrees",
    )
    lean: float | None = number(
        "Lean",
        "Of a port's drilling, or a post mount's bolts, from square to the tube: positive where its "
        "outside is nearer to the tube's end; left out, 0",
        low=-60,
        high=60,
        example=30,
        unit="degrees",
    )
    outward: float | None = number(
        "Outward",
        "Of a post mount's bolts beside the rotor's middle, toward the dropout; the caliper's drawing "
        "says it. Left out, 12.5 (from memory and uncertain)",
        low=0,
        high=60,
        example=12.5,
    )
    hose: float | None = number(
        "Hose",
        "Diameter of the hose or outer cable in a guide, stop or port; a port without one is checked "
        "without",
        above=0,
        high=20,
        example=5.5,
    )
    patch: float | None = number(
        "Patch",
        "Thickness of a sheet that is rolled onto the tube around a port and joined to it; left out, "
        "there is none",
        above=0,
        high=2.5,
        example=1,
    )
    patch_margin: float | None = number(
        "Patch's margin",
        "How far a patch reaches beyond its port all round, as seen square to the tube; left out, 8 "
        "(common practice, no source)",
        low=2,
        high=60,
        example=8,
    )
    toward: Literal["start", "end"] | None = Field(
        None,
        title="Toward",
        description="The tube's end toward which the hose leaves a port, or the outer cable a stop; "
        "left out, start",
    )
    end_hole: float | None = number(
        "End hole", "Diameter of the hole at a slot's lower end", above=0, high=30, example=6
    )

    def problems(self) -> Iterator[Problem]:
        """Yield problems: keys that the kind does not take, no place or two, sizes that do not fit."""
        taken = KEYS[self.kind]
        for key in type(self).model_fields:
            if key not in ("kind", "side", *taken) and getattr(self, key) is not None:
                yield Problem(
                    "inconsistent",
                    key,
                    f"a {self.kind} has none",
                    f"a {self.kind} takes {', '.join(taken)}",
                )
        placed = [key for key in ALONG if getattr(self, key) is not None]
        if "from_start" in taken and not placed and self.kind != "flat_mount":
            yield Problem(
                "missing-key",
                "",
                "where along the tube it stands is missing",
                "from_start or from_end: along the tube's axis to its middle [mm]",
            )
        if len(placed) > 1:
            yield Problem(
                "inconsistent",
                "from_end",
                "the feature is already placed by from_start",
                "keep one of from_start, from_end",
            )
        yield from self._sizes()

    def _sizes(self) -> Iterator[Problem]:
        if self.kind == "port" and self.long < self.wide:
            yield Problem(
                "inconsistent",
                "length",
                f"less than the port's width of {self.wide:g} mm",
                "length is the larger one; turn: 90 lays it around the tube",
            )
        if self.patch_margin is not None and self.patch is None:
            yield Problem(
                "inconsistent",
                "patch_margin",
                "there is no patch",
                "patch: how thick its sheet is, or leave it out",
            )
        if self.kind in ("boss", "eye") and self.outside < self.screw.major + 1.0:
            yield Problem(
                "inconsistent",
                "diameter",
                f"leaves no metal around {self.thread or 'M5'}",
                f"more than {self.screw.major + 1:g} mm",
            )
        if self.kind in ("guide", "stop") and self.outside < self.held + 1.0:
            yield Problem(
                "inconsistent",
                "diameter",
                f"leaves no metal around a hose of {self.held:g} mm",
                f"more than {self.held + 1:g} mm",
            )
        if self.kind == "flat_mount" and self.outside < self.screw.major + CLEAR + 2.0:
            yield Problem(
                "inconsistent",
                "diameter",
                f"leaves no metal around the hole for {self.thread or 'M5'}",
                f"at least {self.screw.major + CLEAR + 2:g} mm",
            )
        if self.kind == "post_mount" and self.outside < self.screw.major + 3.0:
            yield Problem(
                "inconsistent",
                "diameter",
                f"leaves no metal around {self.threaded}",
                f"at least {self.screw.major + 3:g} mm",
            )
        if self.kind == "post_mount" and self.side == "right":
            yield Problem(
                "inconsistent", "side", "the rear brake is on the left", "left, or leave it out"
            )
        if self.kind == "clamp_slot" and self.hole < self.wide:
            yield Problem(
                "inconsistent",
                "end_hole",
                f"less than the slot's width of {self.wide:g} mm",
                "the hole ends the slot: wider than it",
            )
        if self.spacing is not None and self.number < 2:
            yield Problem(
                "inconsistent",
                "spacing",
                "says nothing of a single one",
                "count: 2, or leave it out",
            )

    @property
    def number(self) -> int:
        """How many stand in the row."""
        usual = int(SIZES[self.kind].get("count", 1))
        return usual if self.count is None else self.count

    @property
    def apart(self) -> float:
        """Distance from one of a row to the next [mm]."""
        return self._or("spacing")

    @property
    def around(self) -> float:
        """Angle around the tube [degrees]."""
        usual = 180.0 if self.kind in ("clamp_slot", "collar") else 0.0
        return usual if self.angle is None else self.angle

    @property
    def screw(self) -> Screw:
        """Sizes that go with its thread."""
        return SCREWS[self.threaded]

    @property
    def threaded(self) -> Thread:
        """Its thread."""
        return usual_thread(self.kind) if self.thread is None else self.thread

    @property
    def beside(self) -> float:
        """How far a post mount's bolts are beside the rotor's middle [mm]."""
        return self._or("outward")

    @property
    def outside(self) -> float:
        """Outside diameter of a boss, guide, stop or eye; of a vent; width of a post [mm]."""
        if self.diameter is not None:
            return self.diameter
        if self.kind in SCREWED:
            return usual_outside(self.kind, self.screw)
        return SIZES["vent"]["diameter"] if self.kind == "vent" else self.held + ABOUT

    @property
    def margin(self) -> float:
        """How far a patch reaches beyond its port [mm]."""
        return self._or("patch_margin")

    @property
    def held(self) -> float:
        """Diameter of the hose or outer cable in a guide or stop [mm]."""
        return self._or("hose")

    @property
    def wide(self) -> float:
        """Width of a port, slot or eye [mm]; diameter of a vent."""
        return self.outside if self.kind == "vent" else self._or("width")

    @property
    def long(self) -> float:
        """Length of a port, slot, guide or stop [mm]."""
        if self.kind in ("port", "vent") and self.length is None:
            return self.wide
        return self._or("length")

    @property
    def hole(self) -> float:
        """Diameter of the hole at a slot's lower end [mm]."""
        return self._or("end_hole")

    @property
    def proud(self) -> float:
        """How far a boss stands out of its tube [mm]."""
        return self._or("height")

    @property
    def inside(self) -> float:
        """How far a boss reaches in from the tube's outside [mm]."""
        return self._or("depth")

    @property
    def bolt(self) -> float:
        """How far the bolt's head stands above a boss [mm]."""
        return self.screw.high if self.head is None else self.head

    def _or(self, key: str) -> float:
        value: float | None = getattr(self, key)
        return float(SIZES[self.kind].get(key, 0.0)) if value is None else value
