"""The 3D viewer for browsers."""
