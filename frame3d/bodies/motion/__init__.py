"""How bodies move against the frame: mounts, poses, tables over the rear travel."""
