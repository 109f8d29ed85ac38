"""Take an engine by its name, as ``--engine`` gives it."""

from __future__ import annotations

import re
from typing import Final

from frame3d.explore.engines.dask_cluster import DaskCluster
from frame3d.explore.engines.engine import Engine, Make, engine_error
from frame3d.explore.engines.processes import Processes
from frame3d.explore.engines.serial import Serial

_ADDRESS: Final = re.compile(r"((tcp|tls)://)?([\w.-]+|\[[0-9a-fA-F:]+\]):([0-9]{1,5})/?", re.ASCII)
_WAYS: Final = "processes, serial, or the address of a Dask scheduler, e.g. tcp://host:8786"


def engine(name: str, make: Make, workers: int | None = None) -> Engine:
    """Return the engine of a name.

    Args:
        name: ``processes``, ``serial``, or the address of a Dask scheduler.
        make: what makes evaluators.
        workers: how many processes; as many as processors where not given.

    Raises:
        EngineError: no engine has the name.
    """
    if name == "serial":
        return Serial(make)
    if name == "processes":
        return Processes(make, workers)
    found = _ADDRESS.fullmatch(name)
    if found is None or not 0 < int(found[4]) < 65536:
        raise engine_error(f"there is no engine {name!r}", _WAYS)
    return DaskCluster(make, name.rstrip("/") if found[1] else f"tcp://{name.rstrip('/')}")
