"""Jobs that workers of tests do."""

from __future__ import annotations

import os
import time
from typing import Any

from frame3d.errors import Fault, SpecError
from frame3d.live.work.worker import Post


def run(kind: str, arguments: tuple[Any, ...], post: Post) -> None:
    """Do one of several things."""
    if kind == "add":
        post("sum", sum(arguments))
    elif kind == "slow":  # says how far it is
        for i in range(2000):
            post("progress", ("step", i / 2000))
            time.sleep(0.01)
    elif kind == "hang":  # says nothing more
        post("progress", ("now", 0.0))
        time.sleep(600)
    elif kind == "exit":
        os._exit(11)
    elif kind == "fault":
        raise SpecError(Fault("out-of-range", "geometry.reach", "too far"))
    elif kind == "defect":
        raise ZeroDivisionError("a defect")
    elif kind == "large":
        post("bytes", bytes(arguments[0]))
    elif kind == "pid":
        post("pid", os.getpid())
