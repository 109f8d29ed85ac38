"""Parts of the wheels and their brakes."""

from __future__ import annotations

from frame3d.bike.solve import solve
from frame3d.fabrication.parts.item import Item
from frame3d.fabrication.parts.wheel_parts import wheel_parts
from frame3d.parameters.reading.reader import load


def by_name(*sets: str) -> dict[str, Item]:
    bike = solve(load("configs/trail_full_140.yaml", sets))
    return {item.what: item for item in wheel_parts(bike)}


def test_adaptors_follow_from_the_mount() -> None:
    unknown = by_name()
    assert "front brake adaptor" not in unknown
    assert "build.fork.mount_rotor tells" in unknown["front brake"].note
    known = by_name("build.fork.mount_rotor=180", "build.rear_brake.mount_rotor=180")
    assert known["front brake adaptor"].size == "from 180 to 203"
    assert "rear brake adaptor" not in known  # its rotor is the mount's own
    assert "tells" not in known["rear brake"].note


def test_axles_have_their_thread_where_the_file_gives_it() -> None:
    assert "thread not given" in by_name()["rear axle"].note
    axle = by_name("build.rear_wheel.axle_thread=M12x1.0")["rear axle"]
    assert axle.size.endswith("thread M12x1.0")
    assert axle.note == ""


def test_a_wheel_with_a_mass_of_its_own_is_weighed_whole() -> None:
    items = by_name("build.rear_wheel.mass_kg=2.4")
    assert items["rear wheel"].weighs == ("rear wheel",)
    assert items["rear hub"].weighs == ()
    assert "front wheel" not in items
