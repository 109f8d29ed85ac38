"""The caution that goes with every result."""

CAUTION = (
    "Geometry only: frame3d makes no claim about strength or fatigue, and compares stiffness by a "
    "model. Frames carry people: "
    "have design and build checked by a qualified person, test to the standard that applies, and "
    "follow local rules and good practice."
)
"""The text, in plain ASCII, which every file format can hold."""
