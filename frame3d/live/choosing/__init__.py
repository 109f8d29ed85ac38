"""The bikes of one file: which is in view, the others beside it, and their size table."""
