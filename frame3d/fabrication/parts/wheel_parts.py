"""Parts of the wheels and their brakes: hubs, axles, tyres, rotors, calipers, adaptors."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.bike.bike import Bike
from frame3d.bike.brake_adaptor import native_rotor
from frame3d.fabrication.parts.item import Item
from frame3d.parameters.models.parts import HubSpec, TyreSpec, WheelSpec
from frame3d.parameters.sizes import standards


def wheel_parts(bike: Bike) -> Iterator[Item]:
    """Yield the parts of both wheels, and of both brakes."""
    build = bike.spec.build
    for end, wheel in (("front", build.front_wheel), ("rear", build.rear_wheel)):
        if wheel is None:
            continue
        yield from _wheel(bike, end, wheel)
        if wheel.rotor is not None:
            yield Item(f"{end} rotor", 1, f"{wheel.rotor:g}", "", "with what holds it to its hub",
                       group="wheels and brakes", weighs=(f"{end} rotor",))  # fmt: skip
    front = None if build.front_wheel is None else build.front_wheel.rotor
    if front is not None:
        native = None if build.fork is None else build.fork.native_rotor
        yield from _brake("front", front, native, "build.fork.mount_rotor", "on the fork's mount")
    rear = None if build.rear_wheel is None else build.rear_wheel.rotor
    if rear is not None and build.rear_brake is not None:
        yield from _brake("rear", rear, native_rotor(bike), "build.rear_brake.mount_rotor",
                          "mount to the caliper's drawing")  # fmt: skip


def _wheel(bike: Bike, end: str, wheel: WheelSpec) -> Iterator[Item]:
    """Yield hub, axle, rim and tyre of a wheel."""
    whole = wheel.mass_kg is not None
    if wheel.hub is not None:
        yield _hub(end, wheel.hub, whole)
        yield _axle(bike, end, wheel)
    if wheel.tyre is not None:
        if isinstance(wheel.tyre, TyreSpec):
            size = f"{wheel.tyre.width:g} wide, {wheel.tyre.diameter:g} outside"
            bead, standard = wheel.tyre.diameter - 2 * wheel.tyre.width, ""
        else:
            tyre = standards.tyre(wheel.tyre)
            size, standard = f"{tyre.width:g} wide, bead seat {tyre.bead_seat:g}", wheel.tyre
            bead = tyre.bead_seat
        inner = None if wheel.rim is None else wheel.rim.inner_width
        wide = "" if inner is None else f", {inner:g} wide inside"
        spokes = "" if whole else "with spokes, and tube or sealant"
        yield Item(f"{end} rim", 1, f"bead seat {bead:g}{wide}", "", spokes,
                   group="wheels and brakes", weighs=(f"{end} rim and spokes",))  # fmt: skip
        yield Item(f"{end} tyre", 1, size, standard, group="wheels and brakes",
                   weighs=(f"{end} tyre",))  # fmt: skip
    if whole:
        behind = " and cassette" if end == "rear" else ""
        yield Item(f"{end} wheel", 1, "complete", "", f"hub, rim, tyre, rotor{behind} together",
                   group="wheels and brakes", weighs=(f"{end} wheel",))  # fmt: skip


def _hub(end: str, given: str | HubSpec, whole: bool) -> Item:
    weighs = () if whole else (f"{end} hub and axle",)
    if isinstance(given, HubSpec):
        return Item(f"{end} hub", 1, f"{given.width:g} wide, axle {given.axle:g}",
                    group="wheels and brakes", weighs=weighs)  # fmt: skip
    hub = standards.hub(given)
    return Item(f"{end} hub", 1, f"{hub.width:g} wide, axle {hub.axle:g}", hub.name, hub.note,
                group="wheels and brakes", weighs=weighs)  # fmt: skip


def _axle(bike: Bike, end: str, wheel: WheelSpec) -> Item:
    """Return the axle of a wheel, with its thread as the file gives it."""
    assert wheel.hub is not None
    hub = wheel.hub if isinstance(wheel.hub, HubSpec) else standards.hub(wheel.hub)
    size = f"{hub.axle:g}, for {hub.width:g} between the ends"
    if end == "rear" and bike.dropouts:
        plates = bike.dropouts[0].thickness
        size = f"{hub.axle:g}, {hub.width + 2 * plates:g} over the dropouts"
    thread = wheel.axle_thread
    note = f"thread not given (build.{end}_wheel.axle_thread)"
    return Item(f"{end} axle", 1, size if thread is None else f"{size}, thread {thread}", "",
                note if thread is None else "", group="wheels and brakes")  # fmt: skip


def _brake(end: str, rotor: float, native: float | None, key: str, note: str) -> Iterator[Item]:
    """Yield the caliper of a brake, and the adaptor that its rotor needs."""
    unknown = f"{note}; adaptor: {key} tells"
    yield Item(f"{end} brake", 1, f"rotor {rotor:g}", "", unknown if native is None else note,
               group="wheels and brakes", weighs=(f"{end} caliper",))  # fmt: skip
    if native is not None and rotor > native:
        yield Item(f"{end} brake adaptor", 1, f"from {native:g} to {rotor:g}", "",
                   "with its bolts", group="wheels and brakes")  # fmt: skip
