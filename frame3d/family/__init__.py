"""Several bikes side by side: sizes and settings of a file, other files, the same with other parts.

`wanted.py` reads which bikes are meant (``trail.yaml:L+low``), `members.py` solves them with one cache,
so that what they share is made once, and gives each a short name. `size_table.py` is their chart in the
trade's usual shape, `measured.py` what is known beside it, `differences.py` what differs from the first
bike, unrounded, and how much a shop could measure of it. What that means is told in
`report/comparing/sentences.py`.
"""
