"""Sheets at 1:1: one drawing model, written as PDF, SVG and DXF."""
