"""The rider's scene: the builder's parts and motions, their facts in plain words, the rider's checks."""

from __future__ import annotations

from frame3d.clearance.result import Report, Result
from frame3d.clearance.scene import Scene
from frame3d.report.riders_scene import for_rider
from frame3d.report.scene import check_id
from frame3d.report.texts import texts
from tests.report.samples import bare, hardtail_bike

SAY = texts()
FACTS = [[SAY("facts.section"), "⌀ 38.1"], [SAY("facts.mass"), "310 g"], [SAY("facts.joins"), "x"]]


def document(scene: Scene, report: Report) -> dict[str, object]:
    carried = [[SAY("facts.file"), "build.rear_wheel"], [SAY("facts.note"), "usual"]]
    return {
        "motions": ["fork"],
        "parts": [
            {"name": "down_tube", "facts": FACTS},
            *({"name": body.name, "facts": carried} for body in scene.bodies),
        ],
        "checks": [
            {"id": check_id(i), "mend": ["build.fork.offset: 44"], "source": r.source}
            for i, r in enumerate(report.results)
        ],
    }


def test_facts_are_plain_and_checks_the_riders() -> None:
    scene = bare(hardtail_bike()).scene
    report = Report(
        tuple(
            Result(name, "", None, gap, 0.0, 6.0, "mm", f"the file's own limit, line {line}")
            for line, (name, gap) in enumerate(
                [("crank_to_frame", 5.0), ("rear_tyre_to_frame", 9.0), ("rear_tyre_to_frame", 7.0)]
            )
        ),
        (),
    )
    found = for_rider(document(scene, report), scene, report, SAY)
    assert found["motions"] == ["fork"]
    tube, *carried = found["parts"]
    assert tube["facts"] == [[SAY("facts.mass"), "310 g"]]
    assert [part["name"] for part in carried] == [body.name for body in scene.bodies]
    for part in carried:
        assert "build." not in str(part["facts"])
    tyre = next(part for part in carried if part["name"] == "rear_tyre")
    assert tyre["facts"][0][0] == SAY("equipment.rear_wheel.title")
    (check,) = found["checks"]
    assert (check["id"], check["mend"], check["source"]) == (check_id(2), [], "set by the shop")
