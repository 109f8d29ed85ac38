"""``bench:`` in the parameter file."""

from __future__ import annotations

import pytest

from frame3d.errors import SpecError
from frame3d.parameters.reading.reader import loads
from tests.fabrication.samples import SMALL


@pytest.mark.parametrize(
    ("bench", "path", "message"),
    [
        ("{order: [[down_tub, head_tube]]}", "bench.order.0", "no tube, shell, dropout or pivot down_tub"),
        ("{order: [[a, b], [brace, top_tube]]}", "bench.order.0", "a"),
        (
            "{order: [[brace, top_tube], [top_tube, brace]]}",
            "bench.order.1",
            "top_tube and brace stand twice",
        ),
        ("{process: spot}", "bench.process", ""),
        ("{order: [[brace]]}", "bench.order.0", ""),
    ],
)  # fmt: skip
def test_what_cannot_be(bench: str, path: str, message: str) -> None:
    with pytest.raises(SpecError) as caught:
        loads(f"{SMALL}bench: {bench}\n", "small.yaml")
    fault = caught.value.faults[0]
    assert fault.path.startswith(path)
    assert message in fault.message
    assert fault.place is not None
    assert fault.place.line == SMALL.count("\n") + 1


def test_an_order_is_read() -> None:
    spec = loads(f"{SMALL}bench: {{process: tig, order: [[brace, top_tube]]}}\n")
    assert spec.bench is not None
    assert spec.bench.order == (("brace", "top_tube"),)
