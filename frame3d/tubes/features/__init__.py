"""Features of tubes in place: bosses, ports, guides, stops, eyes, vents, slots, brake mounts, a collar.

A feature is given relative to its tube (`feature.Feature`), so a moved frame needs no new ones;
`stand` says where on the bike each of its row is. `place` makes them from the file, with `warnings`;
`holes` are what they take out of tubes, `edges` where a hole's edge lies on the tube, for templates.
"""
