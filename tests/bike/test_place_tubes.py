"""Placing a whole frame: order, pairs, what cuts what, fittings, and the places of faults."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.bike.place_tubes import PlacedTubes, place_tubes
from frame3d.errors import TubeError
from frame3d.geometry.vector import mirrored, vector
from frame3d.parameters import load
from frame3d.parameters.models.frame import FrameSpec
from frame3d.tubes.context import other_side
from frame3d.tubes.mitre import MitreCut, level
from frame3d.tubes.tube import Shell, Tube
from tests.bikes import hardtail_chart, hardtail_data, hardtail_layout, hardtail_nodes

NODES = hardtail_nodes()
PAIRS = ("chainstay", "seatstay", "strut")


def place(data: dict[str, Any]) -> PlacedTubes:
    return place_tubes(FrameSpec.model_validate(data), NODES, hardtail_chart())


def with_tubes(**tubes: Any) -> PlacedTubes:
    data = hardtail_data()
    data["tubes"] |= {key: {"od": 20.0, "wall": 1.0, **tube} for key, tube in tubes.items()}
    return place(data)


@pytest.fixture(scope="module")
def hardtail() -> PlacedTubes:
    return place(hardtail_data())


def test_names_and_build_order(hardtail: PlacedTubes) -> None:
    assert [t.name for t in hardtail.tubes] == [
        "head_tube",
        "seat_tube",
        "down_tube",
        "top_tube",
        "chainstay_left",
        "chainstay_right",
        "seatstay_left",
        "seatstay_right",
        "seatstay_bridge",
        "chainstay_bridge",
    ]
    assert [t.side for t in hardtail.tubes[4:6]] == ["left", "right"]


def test_order_of_the_file_gives_way_to_what_leans_on_what() -> None:
    data = hardtail_data()
    data["tubes"] = dict(reversed(data["tubes"].items()))
    order = [t.key for t in place(data).tubes]
    assert order[:2] == ["head_tube", "seat_tube"]
    for bridge, host in (("seatstay_bridge", "seatstay"), ("chainstay_bridge", "chainstay")):
        assert order.index(host) < order.index(bridge)


def test_whatever_a_tube_is_cut_by_comes_before_it(hardtail: PlacedTubes) -> None:
    names = [t.name for t in hardtail.tubes]
    for i, tube in enumerate(hardtail.tubes):
        assert set(tube.cut_by) <= {"bottom_bracket", *names[:i]}
        targets = [e.target for e in (tube.start, tube.end) if e.cut == "mitre"]
        assert list(tube.cut_by[: len(targets)]) == targets


def test_head_tube_and_seat_tube_follow_the_chart(hardtail: PlacedTubes) -> None:
    head, seat = hardtail.tubes[:2]
    assert head.axis.start == pytest.approx(NODES["head_tube_bottom"])
    assert head.axis.end == pytest.approx(NODES["head_tube_top"])
    assert seat.axis.start == pytest.approx((0.0, 0.0, 0.0))
    assert seat.axis.end == pytest.approx(NODES["seat_tube_top"])
    assert seat.start.target == "bottom_bracket"
    # Equal to R − √(R² − r²) deep at right angles: 20 and 17.45.
    depth = seat.start.short_point - seat.start.long_point
    assert depth == pytest.approx(20.0 - np.sqrt(20.0**2 - 17.45**2), abs=1e-9)


def test_ends_sit_on_their_targets_axes(hardtail: PlacedTubes) -> None:
    bodies: dict[str, Tube | Shell] = {t.name: t for t in hardtail.tubes}
    assert hardtail.shell is not None
    bodies["bottom_bracket"] = hardtail.shell
    for tube in hardtail.tubes:
        for at, end in (("start", tube.start), ("end", tube.end)):
            assert end.point == (tube.axis.start if at == "start" else tube.axis.end)
            if end.cut == "mitre":
                assert end.target is not None
                _, distance = bodies[end.target].axis.approach(vector(end.point)[None])
                assert distance[0] >= end.offset - 1e-9
                edge = MitreCut(tube, at, bodies[end.target]).edge(180)  # type: ignore[arg-type]
                assert edge.z.min() == pytest.approx(end.long_point, abs=0.02)
                assert edge.z.max() == pytest.approx(end.short_point, abs=0.02)


def image(placed: PlacedTubes, key: str) -> tuple[Tube, Tube]:
    left, right = (t for t in placed.tubes if t.key == key)
    return left, right


def assert_mirrored(left: Tube, right: Tube) -> None:
    s = np.linspace(-10.0, left.axis.length + 10.0, 40)
    flip = np.array([1.0, -1.0, 1.0])
    assert right.axis.points(s) == pytest.approx(left.axis.points(s) * flip, abs=1e-9)
    assert right.section == left.section
    for mine, theirs in ((left.start, right.start), (left.end, right.end)):
        assert theirs.point == mirrored(mine.point)
        assert theirs.target == other_side(mine.target, PAIRS)
        assert (theirs.cut, theirs.offset) == (mine.cut, mine.offset)
        assert (theirs.long_point, theirs.short_point) == (mine.long_point, mine.short_point)


def test_pairs_are_mirror_images(hardtail: PlacedTubes) -> None:
    for key in ("chainstay", "seatstay"):
        left, right = image(hardtail, key)
        assert_mirrored(left, right)
        assert left.start.point[1] > 0
        assert right.cut_by == tuple(other_side(name, PAIRS) for name in left.cut_by)


@given(
    y=st.floats(20.0, 34.0),
    bow=st.floats(30.0, 60.0),
    rise=st.floats(-20.0, 20.0),
    along=st.floats(120.0, 260.0),
    height=st.floats(14.0, 32.0),
)
@settings(max_examples=15, deadline=None)
def test_a_bike_is_its_own_mirror_image(
    y: float, bow: float, rise: float, along: float, height: float
) -> None:
    """Turned about, the bike has the same sides: bridges end where the stays are."""
    data = hardtail_data()
    stay = data["tubes"]["chainstay"]
    stay["start"]["y"] = y
    stay["bends"] = [{"along": along, "y": bow, "rise": rise, "radius": 150.0}]
    stay["od"]["start"]["height"] = height
    placed = place(data)
    left, right = image(placed, "chainstay")
    assert_mirrored(left, right)
    bridge = next(t for t in placed.tubes if t.key == "chainstay_bridge")
    assert bridge.end.point == pytest.approx(mirrored(bridge.start.point), abs=1e-9)
    assert bridge.end.long_point == pytest.approx(bridge.start.long_point, abs=1e-6)
    assert bridge.end.angle == pytest.approx(bridge.start.angle, abs=1e-9)
    # The right stay's own cut, worked out afresh, is the mirrored one.
    assert placed.shell is not None
    assert MitreCut(right, "start", placed.shell).extremes() == pytest.approx(
        (left.start.long_point, left.start.short_point), abs=1e-6
    )


def test_pair_on_one_tube_that_serves_both_sides() -> None:
    """On a beam across the bike the angle toward its end turns round from left to right."""
    beam = {"start": {"at": [-250.0, -90.0, 500.0]}, "end": {"at": [-250.0, 90.0, 500.0]}}
    strut = {
        "pair": True,
        "start": {"on": "beam", "from_end": 50.0},
        "end": {"on": "seatstay", "from_start": 150.0},
    }
    left, right = image(with_tubes(beam=beam, strut=strut), "strut")
    assert_mirrored(left, right)
    assert left.start.angle is not None
    assert right.start.angle == pytest.approx(180.0 - left.start.angle)
    assert left.end.target == "seatstay_left"
    assert right.end.target == "seatstay_right"


def inside(body: Tube | Shell, points: np.ndarray) -> np.ndarray:
    """Whether points lie in a body's outside between its ends, independently of `overlap`."""
    low, high = 0.0, body.axis.length
    if isinstance(body, Tube):
        low, high = body.start.long_point, high - body.end.long_point
    outside, s = level(body, points)
    return (outside < -0.02) & (s > low) & (s < high)


def assert_cut_by_what_it_overlaps(placed: PlacedTubes) -> None:
    """A dense sample of each tube's outside, less its mitres, against every body before it."""
    bodies: dict[str, Tube | Shell] = {}
    if placed.shell is not None:
        bodies["bottom_bracket"] = placed.shell
    rng = np.random.default_rng(3)
    for tube in placed.tubes:
        phi = rng.uniform(0.0, 360.0, 20000)
        ends = []
        for at, end in (("start", tube.start), ("end", tube.end)):
            if end.cut == "mitre" and end.target is not None:
                grid = np.linspace(0.0, 360.0, 721)
                z = MitreCut(tube, at, bodies[end.target]).edge_at(grid).z  # type: ignore[arg-type]
                ends.append(np.interp(phi, grid, z))
            else:
                ends.append(np.zeros(len(phi)))
        low, high = ends[0], tube.axis.length - ends[1]
        s = low + (high - low) * rng.uniform(0.0, 1.0, len(phi))
        centre, up, across = tube.axis.frames(s)
        a, b = tube.section.radii_at(s)
        turn = np.radians(phi)
        points = centre + (a * np.cos(turn))[:, None] * up + (b * np.sin(turn))[:, None] * across
        touched = {name for name, body in bodies.items() if inside(body, points).any()}
        assert touched <= set(tube.cut_by), tube.name
        bodies[tube.name] = tube


def test_tubes_are_cut_by_what_they_overlap(hardtail: PlacedTubes) -> None:
    assert_cut_by_what_it_overlaps(hardtail)
    assert hardtail.tubes[2].cut_by == ("bottom_bracket", "head_tube", "seat_tube")


def test_braces_that_run_through_other_tubes() -> None:
    placed = with_tubes(
        brace={
            "start": {"on": "seat_tube", "above_bottom": 120.0},
            "end": {"on": "head_tube", "above_bottom": 70.0},
        },
        crossing={
            "start": {"on": "top_tube", "from_start": 250.0},
            "end": {"on": "down_tube", "from_start": 250.0},
        },
        far={
            "start": {"on": "top_tube", "from_start": 150.0},
            "end": {"on": "seat_tube", "above_bottom": 300.0},
        },
    )
    assert_cut_by_what_it_overlaps(placed)
    tubes = {t.name: t for t in placed.tubes}
    assert tubes["crossing"].cut_by == ("top_tube", "down_tube", "brace")
    assert tubes["far"].cut_by == ("top_tube", "seat_tube")


def test_a_wishbone_is_cut_by_its_own_left_side() -> None:
    placed = with_tubes(
        strut={
            "pair": True,
            "start": {"on": "seat_tube", "below_top": 100.0},
            "end": {"on": "seatstay", "from_start": 300.0},
        }
    )
    left, right = image(placed, "strut")
    assert "strut_left" in right.cut_by
    assert "strut_right" not in left.cut_by
    assert any("left and right strut overlap" in n.message for n in placed.notes)


def test_shell_of_the_standard_and_in_plain_millimetres() -> None:
    data = hardtail_data()
    shell = place(data).shell
    assert shell == Shell("threaded-73", 73.0, 40.0, 33.65)
    data["build"]["bottom_bracket"]["od"] = 42.0
    shell = place(data).shell
    assert shell is not None
    assert shell.od == 42.0
    plain = {"width": 68.0, "od": 46.0, "bore": 35.0}
    data["build"]["bottom_bracket"] = {"shell": plain}
    assert place(data).shell == Shell("shell", 68.0, 46.0, 35.0)


def test_a_shell_that_reaches_further_out_on_the_left() -> None:
    """79 mm: 34 mm to the right and 45 to the left, by name and in plain millimetres."""
    data = hardtail_data()
    data["build"]["bottom_bracket"] = {"shell": "pressfit-46-79"}
    named = place(data).shell
    assert named is not None
    assert named.faces == (-34.0, 45.0)
    assert (named.axis.at(0.0)[1], named.axis.at(79.0)[1]) == (-34.0, 45.0)
    data["build"]["bottom_bracket"] = {
        "shell": {"width": 79.0, "od": 50.8, "bore": 46.0, "middle": 5.5}
    }
    own = place(data).shell
    assert own is not None
    assert (own.faces, own.half) == ((-34.0, 45.0), 45.0)


def test_dropouts_know_their_stays(hardtail: PlacedTubes) -> None:
    left, right = hardtail.dropouts
    x, _, z = NODES["rear_axle"]
    assert (left.name, left.side, left.axle) == ("rear_dropout_left", "left", (x, 74.0, z))
    assert right.axle == (x, -74.0, z)
    assert left.stays == (("chainstay_left", "end"), ("seatstay_left", "end"))
    assert right.stays == (("chainstay_right", "end"), ("seatstay_right", "end"))
    assert (left.thickness, left.boss, left.bore) == (7.0, 30.0, 12.0)


def test_no_dropouts_where_nothing_sits_on_them() -> None:
    data = hardtail_data()
    data["tubes"] = {k: v for k, v in data["tubes"].items() if "stay" not in k}
    assert place(data).dropouts == ()


def test_bores(hardtail: PlacedTubes) -> None:
    lower, upper, post = hardtail.bores
    assert (lower.tube, lower.at, lower.code) == ("head_tube", "start", "ZS56")
    assert (upper.tube, upper.at, upper.code) == ("head_tube", "end", "ZS44")
    # Finished bores 55.95 to 56.00 and 43.95 to 44.00: value from memory of the SHIS tables.
    assert 55.95 <= lower.diameter <= 56.0
    assert 43.95 <= upper.diameter <= 44.0
    assert (post.tube, post.at, post.diameter) == ("seat_tube", "end", 31.6)
    # At least the two diameters to which the insertion mark must reach (16 CFR 1512.15(b)).
    assert post.depth >= 2 * 31.6


def test_a_seatpost_that_fits_needs_no_bore() -> None:
    data = hardtail_data()
    data["build"]["seatpost"]["diameter"] = 31.4
    placed = place(data)
    assert [bore.tube for bore in placed.bores] == ["head_tube", "head_tube"]
    assert placed.notes == ()
    data["build"]["seatpost"]["diameter"] = 30.9
    (note,) = place(data).notes
    assert note.path == "build.seatpost.diameter"
    assert "needs a shim" in note.message


FITTINGS: dict[str, tuple[dict[str, Any], str, str]] = {
    "head tube too thin for its lower bore": (
        {"tubes.head_tube.od": {"start": 57.5, "end": 50.0}},
        "tubes.head_tube.od",
        "at least 57.975 mm there, or a headset with a bore of at most 54.2 mm",
    ),
    "head tube too wide for its upper cup": (
        {"tubes.head_tube.od": {"start": 62.0, "end": 52.0}},
        "tubes.head_tube.wall",
        # 52 + 10 × 20 / 115 mm is its outside at the end of the cup's 20 mm; less 43.975, halved: 4.883.
        "a wall of at least 4.89 mm over the first 20 mm from the top",
    ),
    "seatpost too wide": (
        {"build.seatpost.diameter": 34.0},
        "build.seatpost.diameter",
        "at most 33.9, or a wider seat tube",
    ),
    "dropout too small for its axle": (
        {"build.dropout": {"boss": 14.0}},
        "build.dropout.boss",
        "at least 16",
    ),
}


@pytest.mark.parametrize(("changes", "path", "hint"), FITTINGS.values(), ids=FITTINGS)
def test_fittings_that_do_not_fit(changes: dict[str, Any], path: str, hint: str) -> None:
    data = hardtail_data()
    for key, value in changes.items():
        *parents, last = key.split(".")
        there = data
        for parent in parents:
            there = there[parent]
        there[last] = value
    with pytest.raises(TubeError) as caught:
        place(data)
    assert [(f.code, f.path) for f in caught.value.faults] == [("section", path)]
    assert hint in caught.value.faults[0].hint


def test_wall_asked_for_by_a_wide_head_tube_is_enough() -> None:
    data = hardtail_data()
    data["tubes"]["head_tube"] |= {"od": {"start": 62.0, "end": 52.0}, "wall": 4.89}
    assert len(place(data).bores) == 3


def test_free_ends_are_warned_of() -> None:
    placed = with_tubes(
        strut={
            "start": {"at": [-200.0, 0.0, 600.0]},
            "end": {"on": "top_tube", "from_start": 90.0},
        },
        other={
            "start": {"at": list(placed_point("top_tube", 200.0))},
            "end": {"on": "down_tube", "from_start": 300.0},
        },
    )
    assert [(n.path, n.message) for n in placed.notes] == [
        ("tubes.strut.start", "the start of strut touches no other part")
    ]


def placed_point(name: str, s: float) -> tuple[float, ...]:
    return tuple(hardtail_layout().tube(name).axis.at(s).tolist())


def test_partly_missed_targets_are_warned_of() -> None:
    placed = with_tubes(
        strut={
            "od": 44.45,
            "start": {"on": "bottom_bracket"},
            "end": {"on": "top_tube", "from_start": 300.0},
        }
    )
    paths = [n.path for n in placed.notes]
    assert paths == ["tubes.strut.start", "tubes.strut.end"]
    assert "of its mitre passes the shell by" in placed.notes[0].message


def test_mitres_that_hang_over_an_end_are_warned_of() -> None:
    data = hardtail_data()
    data["tubes"]["top_tube"]["start"] = {"on": "seat_tube", "below_top": 10.0}
    data["tubes"]["chainstay"]["start"]["y"] = 31.0
    notes = place(data).notes
    assert [n.path for n in notes] == ["tubes.top_tube.start", "tubes.chainstay.start"]
    # 31 + half of 17 less half of the shell's 73 is 3; the stay slants out by some 6 degrees.
    past = float(notes[1].message.split(" reaches ")[1].split()[0])
    assert 3.0 < past < 3.0 + 22.0 * np.tan(np.radians(6.0))


def test_a_tube_on_one_side_only_cuts_that_side_only() -> None:
    placed = with_tubes(
        spar={"start": {"at": [-160.0, -42.0, -60.0]}, "end": {"at": [-160.0, -42.0, 120.0]}},
        strut={
            "pair": True,
            "start": {"on": "rear_axle", "y": 50.0},
            "end": {"on": "bottom_bracket", "y": 26.0},
        },
    )
    left, right = image(placed, "strut")
    assert "spar" not in left.cut_by
    assert "spar" in right.cut_by
    assert_cut_by_what_it_overlaps(placed)


def test_material_and_colour_of_a_tube_and_of_the_frame() -> None:
    data = hardtail_data()
    data["tubes"]["top_tube"] |= {"material": "Ti-3Al-2.5V", "colour": "#112233"}
    data |= {"material": {"name": "AlSi10Mg", "density_g_cm3": 2.67}, "colour": "#aabbcc"}
    tubes = {t.name: t for t in place(data).tubes}
    top, seat = tubes["top_tube"], tubes["seat_tube"]
    assert (top.material, top.density, top.colour) == ("Ti-3Al-2.5V", 4.48, "#112233")
    assert (seat.material, seat.density, seat.colour) == ("AlSi10Mg", 2.67, "#aabbcc")


def test_a_file_without_tubes_has_none() -> None:
    data = hardtail_data()
    data["tubes"] = {}
    placed = place(data)
    assert placed.tubes == ()
    assert placed.bores == ()


def test_seat_tube_that_the_chart_does_not_settle() -> None:
    spec = FrameSpec.model_validate(hardtail_data())
    chart = hardtail_chart() | {"seat_tube_length": None}
    with pytest.raises(TubeError, match=r"geometry\.seat_tube_length") as caught:
        place_tubes(spec, NODES, chart)
    assert caught.value.faults[0].code == "under-determined"


def test_same_result_on_every_run(hardtail: PlacedTubes) -> None:
    assert place(hardtail_data()) == hardtail


def test_faults_name_their_lines(tmp_path: Path) -> None:
    file = tmp_path / "bike.yaml"
    file.write_text(
        "format: 1\n"
        "name: Lines\n"
        "geometry: {}\n"
        "tubes:\n"
        "  head_tube: {od: 50, wall: 3}\n"
        "  strut:\n"
        "    start: {on: hed_tube, below_top: 20}\n"
        "    end:\n"
        "      on: head_tube\n"
        "      below_top: 180\n"
        "    od: 20\n"
        "    wall: 1\n"
        "  brace:\n"
        "    start: {at: [0, 0, 0]}\n"
        "    end: {on: head_tube, below_top: 180}\n"
        "    od: 20\n"
        "    wall: 1\n"
    )
    with pytest.raises(TubeError) as caught:
        place_tubes(load(file), NODES, hardtail_chart())
    places = [(f.place.line, f.place.text.strip()) for f in caught.value.faults if f.place]
    assert places == [
        (7, "start: {on: hed_tube, below_top: 20}"),
        (15, "end: {on: head_tube, below_top: 180}"),
    ]
