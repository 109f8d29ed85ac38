"""Models: one module for each section of the parameter file."""
