"""Curves over the travel: leverage, instant centre, anti-squat, anti-rise, chain, springs and sag."""
