"""Tests; linear algebra in one thread, as in commands."""

from frame3d.threads import one_thread

one_thread()
