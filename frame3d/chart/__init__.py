"""The figures of a frame's geometry and the relations between them.

`chart/relations.py` holds one `Relation` an equation: residual, exact partial derivatives, and in
which variables it is linear. `newton.plan` orders them into the smallest blocks that settle their
unknowns (most are one linear step); `newton.run` solves the blocks for any number of bikes at once.
`diagnosis.py` works at a bike that meets all relations: the null space of the Jacobian says which
givens are independent (a basis), which lean on others (a circuit: the smallest set that disagrees),
and what still moves (what is missing). `solve.py` seeks one bike from many start points, so that a
second solution is noticed.

Where figures are missing, `partial.py` says what the others settle. `solution_set.py` moves random
starts onto the relations by steps of least length: bikes from all over the set that have the given
figures. A figure is settled that is the same on all of them and moves in no null space. Another would
settle it if it moves only with that one, and bikes that share its value share the figure. What the file
may still contradict (an offset of 0, plain cups, no saddle height) is lifted in turn, to see what leans
on it.

*As built* (`as_built.py`, `rigid_relations.py`) adds the relations of a rigid frame that pitches;
the same engine solves them. Sag is the same with a shorter fork. A part that asks for another seat
in the frame (hub, cup, post) is refused. Sensitivities are the implicit function theorem on either
system.
"""
