"""``python -m frame3d``."""

from frame3d.cli import program

program()
