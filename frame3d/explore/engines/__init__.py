"""Where designs are evaluated: in this process, in processes of its own, on a Dask scheduler.

The rows are the same, byte for byte, whatever the engine, the number of workers and the pieces: each
engine gives results in the order of the designs (`ordered.py`), evaluates them by the same function
(`work.py`), and cuts them into pieces by time (`pace.py`). `engine.py` says what an engine is,
`choose.py` takes one by its name.
"""
