"""The version, which the command and every output file state."""

__version__ = "0.1.0"
