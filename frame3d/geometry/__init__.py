"""Points, centrelines, sections, hulls of discs and outlines of flat parts, without any bicycle in them."""
