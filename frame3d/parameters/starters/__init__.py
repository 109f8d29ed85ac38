"""Starter files of `frame3d new`."""
