"""Relations of a built frame that keeps its shape while the bike pitches about the bottom bracket."""

from __future__ import annotations

from dataclasses import dataclass, replace

from frame3d.chart.relations import ANGLE_SCALE, MINUS, Relation, Values, constant
from frame3d.geometry.arrays import Array


@dataclass(frozen=True)
class RigidFrame:
    """A built frame in its own side view (mm, radians), before it pitches."""

    reach: float
    stack: float
    tube_angle: float
    """The head tube's own axis."""
    seat_angle: float
    rear_axle_setback: float
    bb_drop: float

    def shifted(self, x: float, z: float) -> RigidFrame:
        """Return the same frame that stands elsewhere about the bottom bracket, by (x, z) [mm]."""
        return replace(
            self,
            reach=self.reach + x,
            stack=self.stack + z,
            rear_axle_setback=self.rear_axle_setback - x,
            bb_drop=self.bb_drop + z,
        )


def _turned(name: str, formula: str, result: str, x: float, z: float, *, up: bool) -> Relation:
    """Return the relation of a frame point's coordinate after the pitch P.

    Forward x·cos P - z·sin P; upward (`up`) x·sin P + z·cos P.

    Args:
        name: of the relation.
        formula: of the relation, in words.
        result: variable that equals the coordinate.
        x: of the point before the pitch [mm].
        z: of the point before the pitch [mm].
        up: which coordinate.
    """

    def ahead(v: Values) -> Array:
        return x * v.cos("pitch") - z * v.sin("pitch")

    def above(v: Values) -> Array:
        return x * v.sin("pitch") + z * v.cos("pitch")

    value, slope = (above, ahead) if up else (ahead, lambda v: -above(v))
    return Relation(
        name,
        formula,
        lambda v: value(v) - v[result],
        {result: MINUS, "pitch": slope},
        frozenset({result}),
    )


def rigid_relations(frame: RigidFrame) -> tuple[Relation, ...]:
    """Return the relations of the frame's figures after it pitches by ``pitch`` (nose up positive)."""
    return (
        _turned(
            "frame: reach", "reach turned by the pitch", "reach", frame.reach, frame.stack, up=False
        ),
        _turned(
            "frame: stack", "stack turned by the pitch", "stack", frame.reach, frame.stack, up=True
        ),
        Relation(
            "frame: rear axle, backward",
            "rear_axle_setback turned by the pitch",
            lambda v: (
                frame.rear_axle_setback * v.cos("pitch")
                + frame.bb_drop * v.sin("pitch")
                - v["rear_axle_setback"]
            ),
            {
                "rear_axle_setback": MINUS,
                "pitch": lambda v: (
                    -frame.rear_axle_setback * v.sin("pitch") + frame.bb_drop * v.cos("pitch")
                ),
            },
            frozenset({"rear_axle_setback"}),
        ),
        _turned(
            "frame: rear axle, upward",
            "bb_drop turned by the pitch",
            "bb_drop",
            -frame.rear_axle_setback,
            frame.bb_drop,
            up=True,
        ),
        Relation(
            "frame: head tube angle",
            "head_tube_angle - cup_angle falls by the pitch",
            lambda v: ANGLE_SCALE * (frame.tube_angle - v["pitch"] - v.angle("tube")),
            {
                "pitch": constant(-ANGLE_SCALE),
                "head_tube_angle": constant(-ANGLE_SCALE),
                "cup_angle": constant(ANGLE_SCALE),
            },
            frozenset({"pitch", "head_tube_angle", "cup_angle"}),
        ),
        Relation(
            "frame: seat tube angle",
            "actual_seat_tube_angle falls by the pitch",
            lambda v: ANGLE_SCALE * (frame.seat_angle - v["pitch"] - v["actual_seat_tube_angle"]),
            {
                "pitch": constant(-ANGLE_SCALE),
                "actual_seat_tube_angle": constant(-ANGLE_SCALE),
            },
            frozenset({"pitch", "actual_seat_tube_angle"}),
        ),
    )
