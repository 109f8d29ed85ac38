"""``python -m frame3d``."""

from frame3d.cli.commands import program

program()
