"""Outlines of the frame itself: tubes, shell, housings, lugs and plates."""
