"""Default limits of the checks, and their sources."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

PRACTICE: Final = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Requirement:
    """One check's default limit."""

    title: str
    limit: float
    """Smallest value that passes, in `unit`."""
    source: str
    high: float
    """Largest limit that a file may set."""
    unit: str = "mm"


_ISO_TYRE = (
    "6 mm: value from memory of ISO 4210-2 4.10.2 for bicycles other than racing ones (16 CFR "
    "1512.11(b) asks for 1.6 mm)"
)
RACING_TYRE: Final = 4.0
RACING_TYRE_SOURCE: Final = (
    "ISO 4210-2 4.10.2, racing bicycles: 4 mm (value from memory; read as 4.10.2 of EN 14781, which it "
    "replaced)"
)
RACING_WIDTH: Final = 28.0
"""Widest tyre of a racing bicycle [mm] (value from memory of the definition in ISO 4210-2)."""
RACING_MASS: Final = 12.0
"""Heaviest racing bicycle [kg] (value from memory of the definition in ISO 4210-2)."""

REQUIREMENTS: Final[dict[str, Requirement]] = {
    "rear_tyre_to_frame": Requirement(
        "Rear tyre to the frame, through rear travel", 6, _ISO_TYRE, 60
    ),
    "front_tyre_to_frame": Requirement(
        "Front tyre to the frame, through fork travel and steering", 6, _ISO_TYRE, 60
    ),
    "front_tyre_to_fork": Requirement(
        "Front tyre to crown, arch and legs, through fork travel", 6, _ISO_TYRE, 60
    ),
    "fork_to_frame": Requirement(
        "Fork crown, knobs and legs to the frame when turned",
        3,
        f"{PRACTICE}: 3 to 5 mm, or a bumper",
        60,
    ),
    "rotor_to_fork": Requirement(
        "Front rotor to a built fork's blades and brake mount", 2, f"{PRACTICE}: 2 to 3 mm", 60
    ),
    "handlebar_to_frame": Requirement(
        "Handlebar and levers to the frame when turned", 3, PRACTICE, 200
    ),
    "chainring_to_frame": Requirement(
        "Chainring to the frame", 3, "seen on trade pages, no standard: 3 mm", 60
    ),
    "chain_to_frame": Requirement("Chain to the frame, every gear", 3, PRACTICE, 60),
    "chain_to_rear_tyre": Requirement(
        "Chain to the rear tyre, lowest gear", 3, f"{PRACTICE}: 3 to 5 mm", 60
    ),
    "crank_to_frame": Requirement(
        "Crank arms to the frame, all round", 3, f"{PRACTICE}: 3 to 5 mm", 60
    ),
    "heel_to_frame": Requirement(
        "Shoes to the frame, all round", 10, f"{PRACTICE}: 10 to 15 mm", 100
    ),
    "heel_to_caliper": Requirement(
        "Shoes to the rear caliper, all round", 10, f"{PRACTICE}: 10 to 15 mm", 100
    ),
    "rotor_to_frame": Requirement("Rear rotor to the frame", 2, f"{PRACTICE}: 2 to 3 mm", 60),
    "caliper_to_frame": Requirement("Rear caliper to the frame", 3, PRACTICE, 60),
    "seatpost_room": Requirement(
        "Below the inserted seatpost, its actuator and cable: to whatever stops it in the seat tube",
        5,
        PRACTICE,
        300,
    ),
    "seatpost_insertion": Requirement(
        "Seatpost in the seat tube, over the least that may be inserted",
        0,
        "16 CFR 1512.15(b): the insertion mark is at least 2 post diameters from the end; the file's "
        "own mark where it gives one",
        200,
    ),
    "seatpost_exposure": Requirement(
        "Seatpost out of the seat tube, over its travel, collar and head",
        0,
        f"nothing of it can go into the seat tube; heights left out: {PRACTICE}",
        200,
    ),
    "saddle_to_rear_tyre": Requirement("Saddle at full drop to the rear tyre", 20, PRACTICE, 300),
    "bottle_to_frame": Requirement("Bottles to other tubes", 5, PRACTICE, 100),
    "bottle_to_parts": Requirement(
        "Bottles to each other and to everything that moves", 5, PRACTICE, 100
    ),
    "shock_to_frame": Requirement("Shock to the frame, through its stroke", 3, PRACTICE, 60),
    "shock_to_rear_tyre": Requirement(
        "Shock to the rear tyre, through its stroke", 6, PRACTICE, 60
    ),
    "links_to_frame": Requirement(
        "Moving tubes to the front frame, through the rear travel", 3, PRACTICE, 60
    ),
    "links_to_links": Requirement("Links to each other, through the rear travel", 3, PRACTICE, 60),
    "links_on_axle": Requirement(
        "Links beside each other on an axle, through the rear travel",
        0.4,
        f"{PRACTICE}: 0.5 mm is built",
        60,
    ),
    "own_to_parts": Requirement(
        "The file's own bodies to everything that they are not fixed to", 3, PRACTICE, 100
    ),
    "fittings_to_parts": Requirement(
        "Bolts, hoses and seat collar on the tubes to everything else, through all motions",
        2,
        PRACTICE,
        100,
    ),
    "parts_to_parts": Requirement(
        "Every part to every other, through all motions", 3, PRACTICE, 100
    ),
    "toe_to_front_tyre": Requirement(
        "Pedal centre to the front tyre, at any steering",
        100,
        "JIS D 9301:2019 5.6.2 b): 100 mm, or 89 mm with foot retention (16 CFR 1512.17(d): 89 mm for "
        "bicycles without positive foot retention, none for those with)",
        300,
    ),
    "pedal_to_ground": Requirement(
        "Lean to either side until a pedal touches the ground, crank lowest",
        25,
        "16 CFR 1512.17(c) and JIS D 9301: 25 degrees",
        60,
        "degrees",
    ),
    "chainring_to_ground": Requirement(
        "Chainring to the ground, at full travel", 50, PRACTICE, 300
    ),
    "standover_room": Requirement("Rider's inseam over the standover", 25, PRACTICE, 300),
    "front_load": Requirement(
        "Share of the weight on the front wheel, seated",
        25,
        "ISO 4210-2 4.7.5 (read in a national adoption): 25 % of bicycle and rider, saddle and rider "
        "rearmost",
        60,
        "%",
    ),
}
"""Check name -> requirement. Names are keys of ``clearance:`` in the parameter file."""
