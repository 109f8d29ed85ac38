"""Housings, lugs and plates on the axles of the rear suspension.

Pivots. Tubes of the front frame that lean on no point come first (`build_order.split_order`), then
the linkage is solved, then everything else is placed. `pivots/pins.py` says what stands at each
point (a `Pin`: whose housing, which sizes; defaults are common practice); `housings.py` puts
housings among the tubes, which are cut by those that stand in them; `junctions.py` mitres a tube to
its own body's housing and stops it short of a lug; `axle_stackup.py` shares out the room along each
axle; `webs.py` reaches for the nearest tube where none ends; `lugs_and_plates.py` gives
`Bike.pivots`, frozen `Housing`s, `Lug`s and `LinkPlate`s (`tubes/hardware.py`), each on its link. A
housing goes across the centre plane on the front frame only, and where a single tube ends on it:
behind, the wheel is in the way, so there are two, left and right. Where the file gives a `bearing`,
its seat is bored straight into both faces of a housing across, or right through each of two; a free
housing that a tube would reach into as far as the seat is a fault (`housings.py`). Arms and sockets
are those of dropouts (`sockets.py`). `solids/pivots.py` makes bodies of all that, each cut by
whatever of its own rigid body it runs into; nothing cuts across links, so `pieces`, `fused` and the
STL go link by link.
"""
