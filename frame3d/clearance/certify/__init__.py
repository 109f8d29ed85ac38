"""The search for the least gap over all positions, with a proof of how much less it may be."""
