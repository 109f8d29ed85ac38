"""Springs of fork and shock: sag, set-up for riders of other mass.

`fork.py` finds what the fork carries, as `bike/sprung.py` does for the rear; both end in
`bike/loaded_spring.py`, so a fork is a rear suspension with one leverage ratio. `set_up.py` makes the
table over riders' masses, `reducers.py` that over volume reducers, `of_bike.py` joins both ends.
"""
