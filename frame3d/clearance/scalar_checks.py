"""Checks of single figures, in closed form or nearly so, in the stance that matters."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from frame3d.bike.seatpost import Seatpost, seatpost_of
from frame3d.bike.weight import front_share
from frame3d.bodies import Body
from frame3d.bodies.shapes import Box, Disc, Ring, Torus
from frame3d.chart.as_built import pitch
from frame3d.chart.solve import chart_of
from frame3d.clearance.lacking import of_file
from frame3d.clearance.result import Result, Unchecked
from frame3d.clearance.scene import Scene
from frame3d.clearance.toe import FrontEnd, toe_clearance
from frame3d.geometry.vector import Point
from frame3d.parameters.models.steering import RIDDEN
from frame3d.parameters.requirements import REQUIREMENTS
from frame3d.rider.posture import place_rider
from frame3d.tubes.standover import upper_edge

Outcome = Result | Unchecked


def _result(
    scene: Scene,
    name: str,
    gap: float,
    at: dict[str, float] | None = None,
    points: tuple[Point, Point] | None = None,
    between: tuple[str, str] | None = None,
    note: str = "",
) -> Result:
    limit, source = scene.required(name)
    r = REQUIREMENTS[name]
    return Result(
        name=name,
        title=r.title,
        between=between,
        gap=gap,
        error=0.0,
        required=limit,
        unit=r.unit,
        source=source,
        at=at or {},
        points=points,
        note=note,
    )


def _missing(scene: Scene, name: str, *needs: str) -> Unchecked:
    """Return a check as not made because the file lacks some dotted paths."""
    lacking = of_file(scene.spec, needs)
    return Unchecked(name, REQUIREMENTS[name].title, f"the file does not give {lacking}")


def toe(scene: Scene) -> Iterator[Outcome]:
    """Yield the distance from pedal centre to front tyre, over the steering used while pedalling.

    The tyre's rear edge, which the rule is about, comes nearest to a foot well before a quarter turn.
    """
    name = "toe_to_front_tyre"
    pedal, tyre, crank = scene.body("pedal_left"), scene.body("front_tyre"), scene.spec.build.crank
    if pedal is None or tyre is None or crank is None:
        yield _missing(scene, name, "build.crank.q_factor", "build.pedal", "build.front_wheel.tyre")
        return
    chart, nodes = scene.bike.chart, scene.bike.nodes
    angle, offset = chart["head_tube_angle"], chart["fork_offset"]
    assert angle is not None
    assert offset is not None
    axle = nodes["front_axle"]
    casing = _casing(tyre)
    radius = casing.centre_radius + casing.tube_radius
    centre = (crank.length, pedal.shapes[0].origin[1], 0.0)
    fork = 0.0 if scene.spec.build.fork is None else scene.spec.build.fork.travel
    found = toe_clearance(
        FrontEnd((axle[0], axle[2]), angle, offset, radius),
        centre,
        min(scene.steering.checked, RIDDEN),
        fork,
    )
    if not math.isfinite(found.distance):
        yield _result(
            scene,
            name,
            scene.required(name)[0],
            note="the tyre never comes abreast of the pedal within the steering's range",
        )
        return
    x, y, z = centre
    yield _result(
        scene,
        name,
        found.distance,
        {"steer": found.steer, "fork": found.fork},
        (centre, (x + found.distance, y, z)),
        ("pedal", "front_tyre"),
        "wheel taken as a thin disc, as the rule measures; the overlap begins at this steering",
    )


def pedal_to_ground(scene: Scene) -> Iterator[Outcome]:
    """Yield the lean angle at which a pedal touches the ground.

    Seen from the front, with the crank at its lowest and a tyre of round section::

            centre plane
                 |
                 C               C: centre of the tyre's section, r above the ground;
                 |                  the bike leans about it by the angle a
                 |        P      P: pedal's lower outer corner at (y, z); it touches where
          -------+-------------     r + (z - r)·cos a - y·sin a = 0
                 0   ground
    """
    name = "pedal_to_ground"
    pedal, tyre, crank = scene.body("pedal_left"), scene.body("rear_tyre"), scene.spec.build.crank
    if pedal is None or crank is None:
        yield _missing(scene, name, "build.crank.q_factor", "build.pedal")
        return
    stance = scene.bike.sagged
    height = (scene.bike.chart if stance is None else stance.chart)["bb_height"]
    assert height is not None
    block = pedal.shapes[0].shape
    assert isinstance(block, Box)
    y = pedal.shapes[0].origin[1] + block.half[1]
    z = height - crank.length - block.half[2]
    r = 0.0 if tyre is None else _casing(tyre).tube_radius
    # r = y·sin a - (z - r)·cos a = h·sin(a - b)
    h, b = math.hypot(y, z - r), math.atan2(z - r, y)
    lean = math.degrees(b + math.asin(min(max(r / h, -1.0), 1.0)))
    yield _result(
        scene,
        name,
        lean,
        note="static" if stance is None else "under the rider's sag",
    )


def chainring_to_ground(scene: Scene) -> Iterator[Outcome]:
    """Yield the height of the largest chainring's lowest point at full travel of fork and rear wheel."""
    name = "chainring_to_ground"
    rings = scene.named("chainring")
    if not rings:
        yield _missing(scene, name, "build.chainring", "build.crank.chainline")
        return
    solved = scene.bike.solved
    fork = scene.spec.build.fork
    travel = 0.0 if fork is None else fork.travel
    linkage = scene.bike.linkage
    rear = 0.0 if linkage is None else linkage.full_travel
    axle = None if linkage is None else linkage.axle_at(rear)
    low = pitch(solved, {"fork_axle_to_crown": solved.values["fork_axle_to_crown"] - travel}, axle)
    if low is None:
        yield Unchecked(name, REQUIREMENTS[name].title, "the fork's travel is more than its length")
        return
    height = chart_of(low.values)["bb_height"]
    assert height is not None
    ring = max(rings, key=_radius)
    yield _result(
        scene,
        name,
        height - _radius(ring),
        {"fork": travel} if linkage is None else {"rear": rear, "fork": travel},
        between=(ring.name, "ground"),
        note="at full travel" if travel or rear else "",
    )


def _radius(body: Body) -> float:
    """Return the largest radius of a body of revolution [mm]."""
    shape = body.shapes[0].shape
    assert isinstance(shape, Ring | Disc)
    return max(radius for radius, _ in shape.profile)


def _casing(tyre: Body) -> Torus:
    """Return the torus of a tyre, without its knobs."""
    shape = tyre.shapes[0].shape
    assert isinstance(shape, Torus)
    return shape


def standover_room(scene: Scene) -> Iterator[Outcome]:
    """Yield inseam minus standover, above the bottom bracket or as far ahead of it as the file says."""
    name = "standover_room"
    rider, chart = scene.spec.build.rider, scene.bike.chart
    ahead = scene.spec.clearance.standover_ahead
    standover = chart["standover"]
    if ahead:
        edge, height = upper_edge(scene.bike.tubes, ahead), chart["bb_height"]
        standover = None if edge is None or height is None else height + edge
    where = "over the bottom bracket" if not ahead else _ahead(ahead)
    if rider is None or rider.inseam is None or standover is None:
        if rider is not None and rider.inseam is not None and "top_tube" in scene.spec.tubes:
            why = f"no tubes.top_tube passes {where}"
            yield Unchecked(name, REQUIREMENTS[name].title, why)
            return
        yield _missing(scene, name, "build.rider.inseam", "tubes.top_tube")
        return
    note = f"standover {standover:.1f} mm, taken {where}; barefoot inseam, bike unloaded"
    yield _result(scene, name, rider.inseam - standover, note=note)


def _ahead(ahead: float) -> str:
    return f"{abs(ahead):g} mm {'ahead of' if ahead > 0 else 'behind'} the bottom bracket"


def front_load(scene: Scene) -> Iterator[Outcome]:
    """Yield the share of the weight on the front wheel, the saddle at the rear of its rails.

    The rule asks for saddle and rider rearmost. Without the rails' length the saddle stays where the
    file places it, and the note says so.
    """
    name = "front_load"
    bike, stance = scene.bike, scene.bike.sagged
    rider, nodes, chart = bike.rider, bike.nodes, bike.chart
    if stance is not None:
        rider, nodes, chart = stance.rider, stance.nodes, stance.chart
    if rider is None or rider.seated is None:
        yield _missing(
            scene, name, "build.rider.height", "build.seatpost.saddle_height", "build.stem"
        )
        return
    seated, saddle = rider.seated, scene.spec.build.saddle
    where = (
        "the saddle where the file places it, not rearmost as the rule asks: that takes "
        "build.saddle.rails"
    )
    if saddle is not None and saddle.rails is not None:
        back = max(saddle.rails / 2 + saddle.forward, 0.0)
        x, y, z = nodes["saddle"]
        moved = {**nodes, "saddle": (x - back, y, z)}
        pitch = 0.0 if stance is None else stance.pitch
        rearmost = place_rider(scene.spec, moved, chart, rider.hip_height, pitch).seated
        if rearmost is None:
            where = (
                f"the saddle as placed: slid back by {back:g} mm the rider does not reach the grips"
            )
        else:
            seated = rearmost
            where = f"the saddle rearmost, {back:g} mm behind where the file places it"
    at_sag = "" if stance is None else ", at sag"
    note = f"seated, hands on the grips{at_sag}; {where}"
    share = front_share(bike, seated, sagged=stance is not None)
    yield _result(scene, name, 100 * share, note=note)


def seatpost_insertion(scene: Scene) -> Iterator[Outcome]:
    """Yield the length of post in the tube minus its least insertion."""
    post = _post(scene)
    if post is None or post.insertion is None:
        yield _missing(scene, "seatpost_insertion", *_POST_NEEDS)
        return
    note = f"least insertion {post.least_insertion:g} mm" + (
        ", the file's own mark" if post.marked else ": 2 post diameters"
    )
    yield _result(scene, "seatpost_insertion", post.insertion - post.least_insertion, note=note)


def seatpost_room(scene: Scene) -> Iterator[Outcome]:
    """Yield the room below the post's end, its actuator and cable."""
    post = _post(scene)
    if post is None or post.room is None or post.bore is None:
        yield _missing(scene, "seatpost_room", *_POST_NEEDS)
        return
    below = post.actuator + post.cable
    note = f"to {post.bore.by}, {post.bore.value:.1f} mm below the seat tube's top"
    if below > 0:
        note += f"; actuator and cable take {below:g} mm"
    yield _result(scene, "seatpost_room", post.room, note=note)


def seatpost_exposure(scene: Scene) -> Iterator[Outcome]:
    """Yield the length of post above the seat tube minus what must stay out at full drop."""
    name = "seatpost_exposure"
    post = _post(scene)
    if post is None or post.drop_room is None:
        yield _missing(
            scene,
            name,
            "build.seatpost.diameter",
            "build.seatpost.saddle_height",
            "tubes.seat_tube",
        )
        return
    note = f"exposure {post.exposure:.1f} mm; head {post.head:g}"
    if post.travel > 0:
        note += f", travel {post.travel:g}, collar {post.collar:g}"
    yield _result(scene, name, post.drop_room, note=note)


_POST_NEEDS = ("build.seatpost.diameter", "build.seatpost.insertion", "tubes.seat_tube")


def _post(scene: Scene) -> Seatpost | None:
    """Return the post in its seat tube; None if either is not given."""
    return seatpost_of(scene.bike) if "seat_tube" in scene.spec.tubes else None


FIGURE_CHECKS: dict[str, Callable[[Scene], Iterator[Outcome]]] = {
    "toe_to_front_tyre": toe,
    "pedal_to_ground": pedal_to_ground,
    "chainring_to_ground": chainring_to_ground,
    "standover_room": standover_room,
    "front_load": front_load,
    "seatpost_insertion": seatpost_insertion,
    "seatpost_room": seatpost_room,
    "seatpost_exposure": seatpost_exposure,
}
"""Name of a check -> the function that makes it."""
