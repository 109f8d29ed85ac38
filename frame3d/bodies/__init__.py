"""Bodies: outlines of the parts that the frame carries."""
