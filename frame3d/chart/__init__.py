"""The figures of a frame's geometry and the relations between them."""
