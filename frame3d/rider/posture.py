"""The rider: contact points, named postures, centre of mass.

What postures are is told in `postures`, the body in `segments` and `body`. Users read "published
body-segment tables".
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from frame3d.errors import Note
from frame3d.geometry.vector import Point
from frame3d.parameters.models.frame import FrameSpec
from frame3d.rider.body import centre_of_mass, in_centre_plane, side_view
from frame3d.rider.contacts import SADDLE_OF_INSEAM, crank_of, hands_of, saddle_height_of
from frame3d.rider.on_bike import (
    ADULTS,
    USUAL_INSEAMS,
    BodyOnBike,
    body_on_bike,
    stature_of,
    usual_hip_height,
)
from frame3d.rider.postures import POSTURES
from frame3d.rider.segments import BODY_TABLES, INSEAM_OF_STATURE

ASSUMPTIONS = (
    "side view, both hands at the grips, cranks level, 170 mm long where not given",
    "lengths from stature, of legs from the inseam, and masses, from published body-segment tables",
    "elbows and, standing, knees a little bent, feet level; standing, the hands carry nothing",
)


@dataclass(frozen=True)
class Posture:
    """A rider on the bike."""

    joints: Mapping[str, Point]
    """hip, shoulder, elbow, wrist, hands, chin, vertex; knee, ankle, ball, heel and toe of either foot
    with ``_front`` or ``_rear`` [mm]."""
    centre_of_mass: Point
    """Centre of mass of the rider alone, by the table `segments.TEXTBOOK` [mm]."""

    @property
    def centres(self) -> Mapping[str, Point]:
        """Centre of mass by each of `segments.BODY_TABLES` [mm]; how far they differ is how well it is
        known.
        """
        joints = {name: side_view(p) for name, p in self.joints.items()}
        return {
            name: in_centre_plane(centre_of_mass(joints, table))
            for name, table in BODY_TABLES.items()
        }


@dataclass(frozen=True)
class Rider:
    """Contact points and postures."""

    stature: float | None
    """Stature as given, or from the inseam [mm]."""
    saddle_height: float | None
    """Saddle height as given, or from inseam or stature [mm]."""
    contacts: Mapping[str, Point]
    """foot_front, foot_rear (pedal centres, cranks level), saddle, and hands where bar and stem are
    given [mm]."""
    seated: Posture | None
    """Hip over the saddle."""
    standing: Posture | None
    """Centre of mass over the bottom bracket, feet level; the hands carry nothing."""
    notes: tuple[Note, ...]
    forward: Posture | None = None
    """On the saddle's nose, trunk low: climbing."""
    descending: Posture | None = None
    """Standing low and behind; over the saddle no lower than seated on it, at full drop."""
    lowest_saddle: Posture | None = None
    """Seated at full drop of a dropper post; None without one."""
    hip_height: float | None = None
    """Hip above the saddle's top, seated [mm]; None without a body."""
    legs_reach: bool | None = None
    """Whether the seated rider's foot reaches the pedal at its lowest; None without a body."""
    assumptions: tuple[str, ...] = ASSUMPTIONS

    @property
    def postures(self) -> dict[str, Posture]:
        """The postures that the rider can take, by name."""
        known = {name: getattr(self, name) for name in POSTURES}
        return {name: posture for name, posture in known.items() if posture is not None}


def place_rider(
    spec: FrameSpec,
    nodes: Mapping[str, Point],
    chart: Mapping[str, float | None],
    hip_height: float | None = None,
    pitch: float = 0.0,
) -> Rider:
    """Return the rider on a solved bike.

    Args:
        spec: the file, for rider, shoe, saddle, seatpost, crank, stem and handlebar.
        nodes: named points of the bike as it stands [mm].
        chart: its figures [mm and degrees].
        hip_height: hip above the saddle, of the same rider on the bike as designed [mm]; left out, it is
            worked out for this bike.
        pitch: of the bike against its drawn position, nose up positive [degrees].

    Raises:
        SpecError: the inseam is that of no body, or no leg has the measured knee angle.
    """
    crank = crank_of(spec)
    contacts: dict[str, Point] = {
        "foot_front": (crank, 0.0, 0.0),
        "foot_rear": (-crank, 0.0, 0.0),
        "saddle": nodes["saddle"],
    }
    hands = hands_of(spec, nodes, chart, pitch)
    if hands is not None:
        contacts["hands"] = in_centre_plane(hands)
    on = body_on_bike(spec, nodes, chart, hip_height, pitch)
    postures = {} if on is None else _postures(on)
    notes = [*_sizes(spec), *_proportions(spec)]
    if on is not None:
        notes += _out_of_reach(spec, on, postures)
        notes += _unusual_knee(spec, on)
    elif spec.build.rider is not None:
        missing = "build.stem" if hands is None else "build.rider.height or build.rider.inseam"
        notes.append(spec.note("default", f"no centre of mass without {missing}", "build.rider"))
    return Rider(
        stature=stature_of(spec),
        saddle_height=saddle_height_of(spec),
        contacts=contacts,
        seated=postures.get("seated"),
        standing=postures.get("standing"),
        notes=tuple(notes),
        forward=postures.get("forward"),
        descending=postures.get("descending"),
        lowest_saddle=postures.get("lowest_saddle"),
        hip_height=None if on is None else on.hip_height,
        legs_reach=None if on is None else on.legs_reach,
    )


def _sizes(spec: FrameSpec) -> Iterator[Note]:
    """Yield what is taken for a stature or a saddle height that the file does not give."""
    rider, post = spec.build.rider, spec.build.seatpost
    if rider is None:
        return
    stature, saddle = stature_of(spec), saddle_height_of(spec)
    if stature is not None and rider.height is None:
        yield spec.note(
            "assumed",
            f"stature {stature:.0f} mm taken as inseam / {INSEAM_OF_STATURE} (common practice, no "
            "source)",
            "build.rider",
        )
    if saddle is not None and (post is None or post.saddle_height is None):
        source = "inseam" if rider.inseam is not None else f"{INSEAM_OF_STATURE} × stature"
        yield spec.note(
            "assumed",
            f"saddle height {saddle:.0f} mm taken as {SADDLE_OF_INSEAM} × {source}",
            "build.rider",
        )


def _proportions(spec: FrameSpec) -> Iterator[Note]:
    """Yield warnings of a body that is not built like those of the tables."""
    rider, stature = spec.build.rider, stature_of(spec)
    if rider is None or stature is None:
        return
    if not ADULTS[0] <= stature <= ADULTS[1]:
        yield spec.note(
            "warning",
            f"a rider of {stature:.0f} mm is {'shorter' if stature < ADULTS[0] else 'taller'} than "
            f"those of the body tables ({ADULTS[0]:g} to {ADULTS[1]:g} mm; common practice, no source): "
            "postures, knee angle and centre of mass are less certain",
            "build.rider.height" if rider.height is not None else "build.rider.inseam",
        )
    if rider.height is None or rider.inseam is None:
        return
    share = rider.inseam / rider.height
    if not USUAL_INSEAMS[0] <= share <= USUAL_INSEAMS[1]:
        yield spec.note(
            "warning",
            f"{100 * share:.0f} % of the height, {100 * USUAL_INSEAMS[0]:.0f} to "
            f"{100 * USUAL_INSEAMS[1]:.0f} % is usual (common practice, no source): check both, legs "
            "and trunk are made from them",
            "build.rider.inseam",
        )


_HOW: Mapping[str, tuple[str, str]] = {
    "seated": ("seated", ""),
    "standing": ("standing", ""),
    "forward": ("on the saddle's nose", "seated"),
    "descending": ("low and behind", "standing"),
    "lowest_saddle": ("seated at full drop", "seated"),
}
"""Posture -> how it is called, and the posture without which it goes without saying that it fails."""


def _out_of_reach(
    spec: FrameSpec, on: BodyOnBike, postures: Mapping[str, Posture | None]
) -> Iterator[Note]:
    for name, (how, after) in _HOW.items():
        there = name != "lowest_saddle" or on.drop > 0
        if there and postures[name] is None and (not after or postures[after] is not None):
            yield spec.note(
                "warning",
                f"{how}, this rider cannot reach the grips or the pedals; check saddle height, "
                "stem and stature",
                "build.rider",
            )
    if not on.legs_reach and postures["seated"] is not None:
        short = on.lowest_distance - on.lengths.leg
        yield spec.note(
            "warning",
            f"seated, this rider's foot is {short:.0f} mm short of the pedal at its lowest, heel "
            f"{on.heel_up:g}° up; check saddle height, cranks and inseam",
            "build.rider",
        )


_FAR = 75.0
"""How far a measured hip may be from the usual place before the measurement is doubted [mm]: three times
what the unknowns of a body make together."""


def _unusual_knee(spec: FrameSpec, on: BodyOnBike) -> Iterator[Note]:
    usual = usual_hip_height(on.lengths)
    rider = spec.build.rider
    if rider is None or rider.knee_angle is None or abs(on.hip_height - usual) <= _FAR:
        return
    yield spec.note(
        "warning",
        f"{rider.knee_angle:g}° at {rider.at_saddle_height:g} mm puts the hip {on.hip_height:.0f} mm "
        f"above the saddle, {usual:.0f} mm is usual for this inseam: check both measurements",
        "build.rider.knee_angle",
    )


def _postures(on: BodyOnBike) -> dict[str, Posture | None]:
    found = {name: of(on) for name, of in POSTURES.items()}
    return {name: None if joints is None else _posture(joints) for name, joints in found.items()}


def _posture(joints: Mapping[str, complex]) -> Posture:
    points = {name: in_centre_plane(p) for name, p in joints.items()}
    return Posture(points, in_centre_plane(centre_of_mass(joints)))
