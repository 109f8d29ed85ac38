"""The version, as the command and every file state it."""

__version__ = "0.1.0"
