"""Unsaved text: kept beside the results, and offered after a kill."""
