"""The caution that every report and export carries."""

CAUTION = (
    "Geometry only: no claim is made about strength, stiffness or safety. Frames carry people: test a "
    "prototype to the standard that applies, follow local rules, and have qualified people judge "
    "material, joints and tubes before anyone rides."
)
"""Plain ASCII, so that every file format can hold it."""
