"""Leverage, instant centre, anti-squat, anti-rise, chain, springs and sag over the travel."""
