"""Flat parts cut from sheet: DXF for the cutter, dimensioned sheets, nesting, and axles with bearings.

`parts.py` brings every flat part into axes of its own, from its datum hole. `cut_files.py` writes it
for laser or waterjet (`paper/cut_drawing.py`: exact arcs; kerf is left to the shop), `part_sheet.py`
with its dimensions. `axles.py` reads what stands on each pivot's axle, `axle_sheet.py` draws it.
`nest.py` lays parts on sheets that are given: each in the smallest rectangle about it, the rectangles by
rectpack, so parts do not reach into each other's corners; `nest_files.py` writes that.
"""
