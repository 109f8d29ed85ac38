"""Forks that the shop builds: steerer, crown, blades, dropouts and brake mount."""
