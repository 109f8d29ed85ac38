"""Evaluate designs of a study in stages, each of which can reject.

::

    file ── chart ── linkage ── placement ── figures ── pairs ── ride        proof
            many at    no tubes    tubes in    checks of  gaps:    what the    of what
            once       but those   place,      a single   at least rider       is kept
                       with points masses      figure     that?    feels

`Evaluator` does so; `Making` makes one bike as far as is asked.
"""
