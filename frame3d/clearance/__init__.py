"""Certified gaps between everything that moves and everything that does not.

What is measured against what. `clearance/table.py` has every kind of body and, for pairs that no
check measures, why: joined on purpose, or apart (they cannot meet, or something else stands for
them). The other pairs are in a check of their own (`pairs.PAIRS`) or in `parts_to_parts`, so
whatever is added to a bike is measured against everything until `LEFT_OUT` says otherwise. `check
--json` lists what is left out under `not_measured`; tests hold that no pair has two entries or
none, and that what is checked can be measured. Besides the kinds, single bodies are left out where
one is mounted on the other (`Body.touches`: a bottle and its tube, an own body and what it is fixed
to or names under `touches`). Parts of the rear suspension that sit on one axle (`Body.axles`) turn
side by side there: `links_on_axle` asks for 0.4 mm between them, over all of them, not only at the
faces. Two tubes are measured with one of them as its hull (`bodies/frame/hull.py`): round bars
that hold it to 0.1 mm, several side by side for an oval. Boxes that hold all positions of a body
(`Scene.apart`) keep pairs that are far apart out of everything else. Which pairs a check has depends on
what bodies are called and belong to, not on their sizes: `pair_lists.PairLists` has it for all bikes
of a study. Of pairs in one line of the list
that are mirror images of each other, one is measured (`mirror.Twins`).
"""
