"""RiderSpec: the rider's measures."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.parameters.models.base import Model, Problem, number


class RiderSpec(Model):
    """Rider: the measures from which contact points, postures and loads follow."""

    mass_kg: float = number(
        "Mass", "Rider with clothes and pack", low=10, high=250, example=80, unit="kg", default=...
    )
    height: float | None = number("Height", "Stature, barefoot", low=1000, high=2300, example=1765)
    inseam: float | None = number(
        "Inseam", "Floor to crotch, barefoot", low=400, high=1200, example=830
    )
    shoe_length: float | None = number(
        "Shoe length", "Heel to toe outside", low=150, high=380, example=290
    )

    heel_up: float = number(
        "Heel up",
        "How far the foot points down at the lowest pedal, heel raised",
        low=-20,
        high=45,
        example=20,
        unit="degrees",
        default=20,
    )
    knee_angle: float | None = number(
        "Knee angle",
        "Flexion of the knee (0 is a straight leg), measured seated and still, pedal at its lowest; "
        "calibrates the knee angles that are worked out",
        low=0,
        high=90,
        example=32,
        unit="degrees",
    )
    at_saddle_height: float | None = number(
        "At saddle height",
        "Bottom bracket centre to saddle at which the knee angle was measured",
        low=350,
        high=1100,
        example=730,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield problems: inseam not less than height, a knee angle without its saddle height."""
        if self.inseam is not None and self.height is not None and self.inseam >= self.height:
            yield Problem(
                "inconsistent",
                "inseam",
                f"longer than the rider is tall ({self.height:g} mm)",
                "floor to crotch, barefoot, e.g. 830",
            )
        for one, other, why in (
            ("knee_angle", "at_saddle_height", "the saddle height at which the knee was measured"),
            ("at_saddle_height", "knee_angle", "the knee angle that was measured there"),
        ):
            if getattr(self, one) is not None and getattr(self, other) is None:
                yield Problem(
                    "missing-key", other, f"missing: {why}", "give both, or leave both out"
                )
