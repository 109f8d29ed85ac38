"""Whether the rear brake needs an adaptor: its rotor is larger than its mount takes by itself."""

from __future__ import annotations

from frame3d.bike.bike import Bike


def native_rotor(bike: Bike) -> float | None:
    """Return the rotor that the frame's rear mount takes without an adaptor [mm]; None if not known."""
    brake, built = bike.spec.build.rear_brake, bike.frame.spec.build
    if brake is not None and brake.mount_rotor is not None:
        return brake.mount_rotor
    mounts = [one.mount for one in bike.frame.features], [one.mount for one in bike.dropouts]
    followed = any(mount is not None for some in mounts for mount in some)
    return built.rear_wheel.rotor if followed and built.rear_wheel is not None else None


def adaptor_step(bike: Bike) -> float:
    """Return how much larger the rear rotor's radius is than its mount's; 0 without an adaptor [mm]."""
    wheel, native = bike.spec.build.rear_wheel, native_rotor(bike)
    if bike.spec.build.rear_brake is None or wheel is None or wheel.rotor is None or native is None:
        return 0.0
    return max(wheel.rotor - native, 0.0) / 2
