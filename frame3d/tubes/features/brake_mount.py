r"""Where a rear brake's mount stands on its stay: as its rotor and the axle say.

In the side view the caliper (`build.rear_brake`) straddles the rotor's edge. Its block's middle is
`overhang - depth / 2` beyond the edge of the rotor that the mount is made for, at the caliper's angle
about the axle. The faces that it is bolted onto are the block's inner side, square to the bolts, and the
bolts stand evenly about its middle::

              bolt  | caliper |  bolt        ^ b, along the bolts: square to the stay,
                   _|_   C   _|_             |    or leaning from that toward its end
        faces       |    |    |              +--> t
                  tower  |  tower
        =============+===+=====+=========  stay
                           \   .' angle
                             o   rear axle

Either the caliper's angle is given, and how far the faces stand out of the stay follows; or that height,
and the angle follows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import Point, Vector, point, vector
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.mating import RearBrakeSpec
from frame3d.parameters.models.parts import HubSpec
from frame3d.parameters.models.tube_features.feature import FeatureSpec
from frame3d.parameters.sizes import standards
from frame3d.parameters.sizes.rotors import rotor_inset
from frame3d.tubes.features.feature import Mount, Post
from frame3d.tubes.features.stand import directions, reach, root, spot
from frame3d.tubes.tube import Tube

SEARCHED = 90.0
"""How far from the stay's own direction the caliper is looked for [degrees]."""
STEPS = 30
STEEP = 0.5
"""Sine of the slope from which on a stay counts as a seatstay, not a chainstay."""
ASKEW = 0.35
"""Largest lateral part of the direction of a stay, and of sleeves whose place follows from the rotor."""


class NoPlaceError(ValueError):
    """A mount that cannot stand, with why, as the end of a sentence."""


@dataclass(frozen=True, slots=True)
class Brake:
    """The brake that a mount is made for."""

    spec: RearBrakeSpec
    rotor: float
    """Radius of the rotor that it takes without an adaptor [mm]."""
    y: float
    """Of the rotor's middle [mm]."""

    @property
    def from_axle(self) -> float:
        """Distance of the caliper's middle from the axle [mm]."""
        return self.rotor + self.spec.overhang - self.spec.depth / 2


def brake_of(spec: FrameSpec) -> Brake:
    """Return the brake that a file's mount is made for.

    Raises:
        NoPlaceError: the file does not say enough.
    """
    brake, wheel = spec.build.rear_brake, spec.build.rear_wheel
    if brake is None or wheel is None or wheel.rotor is None or wheel.hub is None:
        raise NoPlaceError(
            "where it stands follows from build.rear_brake, build.rear_wheel.rotor and "
            "build.rear_wheel.hub, which are not all there"
        )
    hub = wheel.hub if isinstance(wheel.hub, HubSpec) else standards.hub(wheel.hub)
    inset = rotor_inset("rear", hub.width, wheel.rotor_inset)
    rotor = wheel.rotor if brake.mount_rotor is None else brake.mount_rotor
    return Brake(brake, rotor / 2, hub.width / 2 - inset)


def mount_on(spec: FrameSpec, given: FeatureSpec, tube: Tube, axle: Point) -> Mount:
    """Return where the bolts of a brake mount stand.

    Args:
        spec: the file.
        given: the mount.
        tube: the left stay that it is on.
        axle: the rear axle's middle, as the frame is designed [mm].

    Raises:
        NoPlaceError: it cannot stand.
    """
    brake = brake_of(spec)
    across = abs(float(tube.axis.tangent(tube.axis.length / 2)[1]))
    if across > ASKEW or float(tube.axis.at(tube.axis.length / 2)[1]) <= 0:
        raise NoPlaceError("only a stay on the left has a brake mount")
    side = _Side(tube, vector(axle), given.lean or 0.0, brake.from_axle, _toward(given, tube))
    angle = brake.spec.angle if given.kind == "post_mount" else None
    if angle is not None and given.height is not None:
        raise NoPlaceError(
            "height and build.rear_brake.angle both say how far its faces stand out of the tube: "
            "keep one of the two"
        )
    half = brake.spec.depth / 2
    if angle is None:
        high = given.proud
        if given.height is None:  # leaning, one post is nearer to the tube than their middle
            high += given.apart / 2 * abs(math.tan(math.radians(side.lean)))
        angle = side.angle_at(high + half)
    else:
        side = side.over(angle)
    s, b, t, middle = side.at(angle)
    face = middle - half * b
    posts = []
    for way in (-0.5, 0.5):
        at = face + way * given.apart * t
        at[1] = brake.y + given.beside
        posts.append(_post(tube, at, b, t, s))
    posts.sort(key=lambda post: post.s)
    return Mount(angle, float(np.degrees(np.arctan2(b[2], b[0]))), tuple(posts))


def _toward(given: FeatureSpec, tube: Tube) -> Vector:
    """Return roughly the direction from the tube to the caliper: (3,).

    For posts into the rear triangle: up from a stay that is nearly level, forward from a steeper one;
    for sleeves along them.

    Raises:
        NoPlaceError: sleeves that are not level with the rotor.
    """
    middle = tube.axis.length / 2
    ahead = tube.axis.tangent(middle)
    if given.kind == "post_mount":
        steep = abs(float(ahead[2])) > STEEP * float(np.hypot(ahead[0], ahead[2]))
        return np.array([1.0, 0.0, 0.0] if steep else [0.0, 0.0, 1.0])
    out = spot(tube, middle, given.around).out
    if abs(float(out[1])) > ASKEW:
        raise NoPlaceError(
            f"at an angle of {given.around:g}° its place does not follow from the rotor: 0 or 180, or "
            "from_end"
        )
    return out


@dataclass(frozen=True)
class _Side:
    """A stay beside the caliper, in the side view."""

    tube: Tube
    axle: Vector
    lean: float
    """Of the bolts, from square to the stay toward its end [degrees]."""
    far: float
    """From the axle to the caliper's middle [mm]."""
    toward: Vector
    """Roughly from the stay to the caliper, (3,)."""

    def over(self, angle: float) -> _Side:
        """Return the side of the stay on which the caliper is at an angle [degrees]."""
        s, b, _, middle = self.at(angle)
        below = float((middle - self.tube.axis.at(s)) @ b) < 0
        return replace(self, toward=-self.toward) if below else self

    def at(self, angle: float) -> tuple[float, Vector, Vector, Vector]:
        """Return the stay's place under the caliper at an angle, and b, t and C as in the figure.

        Args:
            angle: from straight ahead of the axle up to the caliper's middle [degrees].
        """
        turn, lean = np.radians(angle), np.radians(self.lean)
        middle = self.axle + self.far * np.array([np.cos(turn), 0.0, np.sin(turn)])
        axis = self.tube.axis
        s = float(axis.nearest(middle[None])[0])
        for _ in range(STEPS):
            ahead = axis.tangent(s) * np.array([1.0, 0.0, 1.0])
            ahead /= np.linalg.norm(ahead)
            square = self._square(ahead)
            b = np.cos(lean) * square + np.sin(lean) * ahead
            t = np.cos(lean) * ahead - np.sin(lean) * square
            step = float((middle - axis.at(s)) @ t) / float(axis.tangent(s) @ t)
            s = float(np.clip(s + step, -self.far, axis.length + self.far))
            if abs(step) < 1e-10:
                break
        return s, b, t, middle

    def _square(self, ahead: Vector) -> Vector:
        """Return the direction square to the stay, toward the caliper."""
        square = np.array([-ahead[2], 0.0, ahead[0]])
        return np.asarray(square if square @ self.toward > 0 else -square)

    def height(self, angle: float) -> float:
        """Return how far the caliper's middle is over the stay's outside, along the bolts [mm]."""
        s, b, _, middle = self.at(angle)
        axis = self.tube.axis.at(s)
        return float((middle - axis) @ b) - reach(self.tube, axis, b)

    def angle_at(self, height: float) -> float:
        """Return the caliper's angle at which its middle is so far over the stay's outside.

        Raises:
            NoPlaceError: nowhere.
        """
        axis = self.tube.axis
        arm = axis.at(axis.length / 2) - self.axle
        along = np.array([arm[0], 0.0, arm[2]]) / np.hypot(arm[0], arm[2])
        square = self._square(along)
        first = float(np.degrees(np.arctan2(along[2], along[0])))
        sign = 1.0 if square @ np.array([-along[2], 0.0, along[0]]) > 0 else -1.0

        def above(turns: Array) -> Array:
            return np.array([self.height(first + sign * float(x)) - height for x in turns])

        low, high = np.zeros(1), np.full(1, SEARCHED)
        if above(low)[0] > 0 or above(high)[0] < 0:
            raise NoPlaceError(
                f"nowhere beside the tube is the caliper {self.far:.1f} mm from the axle and "
                f"{height:.1f} mm over the tube's outside"
            )
        return first + sign * float(root(above, low, high)[0])


def _post(tube: Tube, face: Vector, b: Vector, t: Vector, s: float) -> Post:
    """Return a bolt's place by the middle of its face, relative to its tube."""
    axis = tube.axis
    for _ in range(STEPS):
        step = float((face - axis.at(s)) @ t) / float(axis.tangent(s) @ t)
        s = float(np.clip(s + step, -axis.length, 2 * axis.length))
        if abs(step) < 1e-10:
            break
    zero, quarter = directions(tube, s)
    basis = np.array([axis.tangent(s), zero, quarter])
    off, way = basis @ (face - axis.at(s)), basis @ b
    return Post(s, float(np.degrees(np.arctan2(off[2], off[1]))), point(off), point(way))
