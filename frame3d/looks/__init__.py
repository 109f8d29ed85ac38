"""Looks: how parts are drawn for the eye, in generic shapes made up from the file's sizes.

Nothing is ever measured or checked on them. Gaps are those of the outlines (`frame3d.bodies`), and looks
are made from these outlines: each module takes a part's shapes and fills them with something that
looks like the part, no further than `piece.BEYOND` outside. Only what joins two parts (spokes, a
pedal's axle) lies between their outlines; it says so (`Piece.joins`).

- `pieces.looks_of` gives every part's pieces; a part without any is drawn as its outline.
- A `Piece` is a maker with its sizes: the same sizes are the same surface, under one `key`, made once
  and sent once, wherever it stands.
- `surfaces` are triangle meshes with normals directly from shapes; `forms` the few ways to make more.
- `model_file.packed` writes surfaces as binary glTF.
"""
