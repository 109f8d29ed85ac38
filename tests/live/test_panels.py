"""The workspace's panels: what they say."""

from __future__ import annotations

import pytest

from frame3d.errors import Fault
from frame3d.live import panels
from frame3d.report.texts import texts


@pytest.mark.parametrize(
    ("message", "shown"),
    [
        ("the name starts or ends with a dot", "The name starts or ends with a dot"),
        ("top_tube could not be made", "top_tube could not be made"),
        ("", ""),
    ],
)
def test_messages_begin_with_a_capital_unless_with_a_name_of_the_file(
    message: str, shown: str
) -> None:
    said = str(panels.faults([Fault("bad-name", "tubes.top_tube", message)], texts()))
    assert f'<p class="what">{shown}</p>' in said
