"""Dampers, natural frequencies and the energy of the springs."""
