"""What is marked, drilled and joined on tubes: features on templates, in lists, to be measured.

`marks` says of every feature of the frame, each of a row by a number of its own, where a builder
measures it; `marking` unrolls the places, `marking_sheets` prints them, `position_sheet` lists all of
them, `items` are the parts for the parts list. `on_dropouts` does the same of what is on dropouts.
"""
