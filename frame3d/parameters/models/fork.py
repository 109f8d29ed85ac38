"""ForkSpec: the fork: its length, offset and travel, its spring and damper, its outline or its tubes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from pydantic import Field

from frame3d.parameters.models.base import Model, Problem, Share, number, part
from frame3d.parameters.models.damper import DamperSpec
from frame3d.parameters.models.forks.built import BuiltForkSpec
from frame3d.parameters.models.mating import ArchSpec, CrownSpec, KnobsSpec, LegsSpec
from frame3d.parameters.models.springs import SpringSpec


class ForkSpec(Model):
    """Fork: length, offset, travel, spring and damper."""

    axle_to_crown: float | None = number(
        "Axle to crown",
        "Unloaded length from the front axle to the crown race, as `measured` says",
        low=250,
        high=750,
        example=531,
    )
    measured: Literal["straight", "along_axis"] | None = Field(
        None,
        title="How axle_to_crown is measured",
        description="straight: directly from the axle to the crown race; along_axis: along the "
        "steering axis. Makers differ, so it must be said.",
    )
    offset: float | None = number(
        "Offset", "From the steering axis to the axle, square to it", low=-50, high=150, example=44
    )
    travel: float = number(
        "Travel",
        "0 for a rigid fork; left out, it counts as 0, but nothing calls the fork rigid",
        low=0,
        high=300,
        example=130,
        default=0,
    )
    sag: Share = Field(
        0.0,
        title="Sag",
        description="Share of the travel used up by the rider's weight, e.g. 25%",
        examples=["25%"],
    )
    spring: SpringSpec | None = Field(
        None,
        title="Spring",
        description="Coil, air or a table, over the stroke of the stanchions; sag and set-up follow",
    )
    damper: DamperSpec | None = Field(
        None, title="Damper", description="Force over speed, along the stanchions"
    )
    steerer_length: float | None = number(
        "Steerer length",
        "From the crown race to the steerer's upper end",
        low=50,
        high=500,
        example=190,
    )
    mass_kg: float | None = number(
        "Mass",
        "Of the fork with its steerer as it is cut",
        above=0,
        high=10,
        example=2.1,
        unit="kg",
    )
    mount_rotor: float | None = number(
        "Mount's rotor",
        "Diameter of the rotor that the fork's brake mount takes without an adaptor",
        low=120,
        high=260,
        example=180,
    )
    crown: CrownSpec | None = part("Crown", "Its outline, for clearances; {} takes usual sizes")
    legs: LegsSpec | None = part("Legs", "Their outline, for clearances; {} takes usual sizes")
    knobs: KnobsSpec | None = part("Knobs", "Adjusters on the legs; {} takes usual sizes")
    arch: ArchSpec | None = part("Arch", "Over the tyre; {} takes usual sizes")
    built: BuiltForkSpec | None = part(
        "Built", "The rigid fork as the shop builds it, from tubes; left out, it is bought"
    )

    @property
    def rigid(self) -> bool:
        """Whether the file itself says that the fork has no travel."""
        given = "travel" in self.model_fields_set or self.built is not None
        return given and self.travel == 0

    def problems(self) -> Iterator[Problem]:
        """Yield problems: length without its way of measuring, spring or sag without travel."""
        if self.axle_to_crown is not None and self.measured is None:
            yield Problem(
                "missing-key",
                "measured",
                "missing: makers measure axle to crown in two ways",
                "measured: straight (directly from the axle to the crown race) or "
                "measured: along_axis (along the steering axis)",
            )
        if self.axle_to_crown is None and self.measured is not None:
            yield Problem(
                "inconsistent",
                "measured",
                "says how axle_to_crown is measured, which is not given",
                "give axle_to_crown, or leave measured out",
            )
        if self.sag > 0 and self.travel == 0:
            yield Problem(
                "inconsistent",
                "sag",
                "a fork without travel has no sag",
                "give the fork's travel, or leave sag out",
            )
        yield from self._sprung()
        yield from self._built()
        if self.axle_to_crown is not None and self.travel >= self.axle_to_crown:
            yield Problem(
                "inconsistent",
                "travel",
                f"longer than the fork itself ({self.axle_to_crown:g} mm)",
                "travel is how far the fork compresses, e.g. 130",
            )

    def _built(self) -> Iterator[Problem]:
        """Yield problems of a built fork: travel, an outline or a mass that its own tubes give."""
        if self.built is None:
            return
        if self.travel > 0:
            yield Problem(
                "inconsistent",
                "built",
                f"a fork built from tubes is rigid, and this one has {self.travel:g} mm of travel",
                "travel: 0, or leave built out",
            )
        for key in ("crown", "legs"):
            if getattr(self, key) is not None:
                yield Problem(
                    "inconsistent",
                    key,
                    "is the outline of a bought fork; a built one is measured as its own tubes are",
                    f"leave it out; built.{'crown' if key == 'crown' else 'blades'} says what they are",
                )
        if self.mass_kg is not None:
            yield Problem(
                "inconsistent",
                "mass_kg",
                "a built fork weighs what its tubes weigh",
                "leave it out",
            )
        brake = self.built.brake
        if self.mount_rotor is not None and brake is not None and self.mount_rotor != brake.rotor:
            yield Problem(
                "inconsistent",
                "mount_rotor",
                f"the fork's own mount is made for {brake.rotor:g} mm (built.brake.rotor)",
                "leave it out",
            )

    @property
    def native_rotor(self) -> float | None:
        """Diameter of the rotor that its mount takes without an adaptor [mm]; None if not given."""
        if self.mount_rotor is None and self.built is not None and self.built.brake is not None:
            return self.built.brake.rotor
        return self.mount_rotor

    def _sprung(self) -> Iterator[Problem]:
        """Yield problems of spring and damper: without travel, or wrong for the stroke."""
        for key in ("spring", "damper"):
            if getattr(self, key) is not None and self.travel == 0:
                yield Problem(
                    "inconsistent",
                    key,
                    f"a fork without travel has no {key}",
                    f"give the fork's travel, or leave {key} out",
                )
        if self.travel == 0:
            return
        if self.spring is not None:
            yield from self.spring.over(
                self.travel, "build.fork.sag: 25%" if not self.sag else None
            )
        if self.damper is not None:
            yield from self.damper.over(self.travel)
