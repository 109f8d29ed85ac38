"""How stiff a frame is, compared with another: a beam model of the frame; numpy alone.

``section_constants`` and ``beam`` know one stretch of tube, ``structure`` knows groups, beams and ties,
``from_bike`` makes the structure of a bike, ``load_cases`` says how it is held and loaded, ``of_bike``
solves them, ``gains`` says what a gram would do, ``comparison`` sets frames beside each other.

Stiff means: under these load cases. The model says nothing of strength, buckling, dents or fatigue: a
thinner, larger tube scores better here and may fail sooner.
"""
