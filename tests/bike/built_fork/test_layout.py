"""What in the file contradicts a built fork: each fault names the key and its counterpart."""

from __future__ import annotations

import pytest

from frame3d.bike.built_fork.layout import layout_of
from frame3d.bike.solve import solve
from frame3d.errors import TubeError
from tests.built_forks import UNICROWN, fork_bike, fork_file

FAULTS = [
    (UNICROWN[0].replace("{}", "{blades: {angle: 3}}"), "blades.angle", "offset", "build.fork.offset"),
    (
        UNICROWN[0].replace("{}", "{blades: {bend: {above_axle: 400, radius: 50}}}"),
        "blades.bend.above_axle", "lies above the crown", "build.fork.axle_to_crown",
    ),
    (
        UNICROWN[0].replace("{}", "{crown: {join: 140, shoulder: 250}, blades: {stop_short: 150}}"),
        "crown", "leave the crown 250.0 mm below", "build.fork.axle_to_crown",
    ),
    (
        UNICROWN[0].replace("{}", "{steerer: {below: 10}, crown: {join: 30}}"),
        "steerer.below", "ends 10 mm below", "crown.join",
    ),
    (
        UNICROWN[0].replace("{}", "{steerer: {race_seat: {diameter: 27}}}"),
        "steerer.race_seat.diameter", "27 mm", "build.headset.lower",
    ),
    (UNICROWN[0].replace("{}", "{steerer: {od: 25.4}}"), "steerer.od", "25.4", "build.headset.upper"),
    (UNICROWN[0].replace("{}", "{dropout: {boss: 14}}"), "dropout.boss", "around an axle of 12", ""),
    (
        UNICROWN[0].replace("{}", "{blades: {stop_short: 12}}"),
        "blades.stop_short", "within the dropout's boss", "dropout.boss",
    ),
    (
        UNICROWN[0].replace("{}", "{dropout: {thickness: 16}}"),
        "dropout.thickness", "does not go into blades", "blades.od",
    ),
    (
        UNICROWN[0].replace("{}", "{crown: {radius: 300}}"),
        "blades", "its arc needs", "",
    ),
    (
        UNICROWN[0].replace("{}", "{blades: {bend: {above_axle: 100, radius: 2900}}}"),
        "blades.bend", "its arc needs", "",
    ),
]  # fmt: skip


@pytest.mark.parametrize("given", FAULTS, ids=[f"{row[1]}-{i}" for i, row in enumerate(FAULTS)])
def test_faults_name_the_key_and_what_it_contradicts(given: tuple[str, str, str, str]) -> None:
    text, path, message, other = given
    with pytest.raises(TubeError) as caught:
        solve(fork_file(text))
    found = [fault for fault in caught.value.faults if fault.path == f"build.fork.built.{path}"]
    assert found, [fault.render() for fault in caught.value.faults]
    assert message in found[0].message
    assert other in found[0].message
    assert found[0].hint
    assert found[0].place is not None
    assert not any(fault.path.startswith("tubes") for fault in caught.value.faults)


def test_an_angle_that_leads_to_the_axle_is_taken() -> None:
    made = fork_bike("unicrown")
    lean = layout_of(made.spec, made.nodes, made.chart).lean
    bike = solve(fork_file(UNICROWN[0].replace("{}", f"{{blades: {{angle: {lean:.4f}}}}}")))
    assert bike.fork is not None
