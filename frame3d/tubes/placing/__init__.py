"""How tubes come to their place: build order, ends and bends, sections along the axis, fittings."""
