"""Rear suspensions of many designs at once, compiled.

::

    coordinates ── points ── adjusting ── follow ── curves
       (n,)         (n, p)    solve_for    poses     of the wheels and of a gear
                                           over the stroke

`program.py` takes the topology of one solved linkage as small arrays; `follow.py` follows n linkages of
that topology through their strokes by the closed forms of `frame3d.linkage.blocks`, `curves.py` has the
curves of `frame3d.linkage.curves` for them, `adjusting.py` the search of `frame3d.linkage.adjust`.
`batch.py` puts them together. It takes numba to be quick, so it stands here and not in `linkage/`, which
stays light.

It covers topologies in which the shock turns one link and every further loop adds two links: a single
pivot, four bars with the shock between the frame and any link on it, and dyads in sequence. A design is
followed here only where nothing about it is doubtful: poses far from a dead point, a shock that fits, a
wheel that rises everywhere. Whatever else is marked, and the present solver (`frame3d.linkage.solve`)
tells of it as ever.
"""
