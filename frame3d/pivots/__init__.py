"""Housings, lugs and plates on the axles of the rear suspension."""
