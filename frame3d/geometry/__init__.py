"""Points, centrelines, sections and hulls of discs, without any bicycle in them."""
