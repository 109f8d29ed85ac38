"""Motion of bodies against the frame: mounts, poses, tables over the rear travel."""
