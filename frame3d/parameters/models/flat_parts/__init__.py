"""Flat parts that are cut from plate: gussets, tabs and own outlines, with holes, slots and pockets."""
