"""The files that `frame3d new` writes."""
