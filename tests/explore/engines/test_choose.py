"""Engines by name."""

from __future__ import annotations

import pytest

from frame3d.errors import FrameError
from frame3d.explore.engines.choose import engine
from frame3d.explore.engines.dask_cluster import DaskCluster
from frame3d.explore.engines.processes import Processes
from frame3d.explore.engines.serial import Serial
from tests.explore.fakes import Formula


def test_engines_by_name() -> None:
    assert isinstance(engine("serial", Formula), Serial)
    own = engine("processes", Formula, 3)
    assert isinstance(own, Processes)
    assert own.workers == 3


@pytest.mark.parametrize(
    ("name", "address"),
    [
        ("shop:8786", "tcp://shop:8786"),
        ("tcp://10.0.0.7:8786", "tcp://10.0.0.7:8786"),
        ("tls://shop.example:8786/", "tls://shop.example:8786"),
        ("tcp://[::1]:8786", "tcp://[::1]:8786"),
    ],
)
def test_an_address_is_a_scheduler(name: str, address: str) -> None:
    found = engine(name, Formula)
    assert isinstance(found, DaskCluster)
    assert found.address == address


@pytest.mark.parametrize("name", ["", "process", "shop", "http://shop:80", "shop:0", "shop:70000"])
def test_other_names_are_refused(name: str) -> None:
    with pytest.raises(FrameError, match="there is no engine") as caught:
        engine(name, Formula)
    assert "tcp://host:8786" in caught.value.faults[0].hint
