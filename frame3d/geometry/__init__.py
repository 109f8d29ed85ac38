"""Points, centrelines, sections, hulls of discs, flat outlines, without any bicycle in them."""
