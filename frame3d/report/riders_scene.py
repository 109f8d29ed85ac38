"""The scene document as the rider sees it: plain words for parts, and the checks that concern them."""

from __future__ import annotations

from typing import Any

from frame3d.clearance.result import Report
from frame3d.clearance.scene import Scene
from frame3d.report.audience import plain_source, riders_results
from frame3d.report.equipment import equipment
from frame3d.report.scene import check_id
from frame3d.report.texts import Texts


def for_rider(
    document: dict[str, Any], scene: Scene, report: Report, texts: Texts
) -> dict[str, Any]:
    """Return a scene document without file keys, and without what concerns the builder alone.

    Args:
        document: from `frame3d.report.scene.scene_document`.
        scene: whose document it is.
        report: its checks.
        texts: of the page's language.
    """
    told = {key: (title, said) for key, title, said in equipment(scene.bike, texts)}
    paths = {body.name: body.part.split(".") for body in scene.bodies}
    kept = {texts(f"facts.{key}") for key in ("length", "mass", "material")}
    parts = []
    for part in document["parts"]:
        path = paths.get(part["name"], [""])
        known = told.get(path[1] if len(path) > 1 else "")
        facts = [fact for fact in part["facts"] if fact[0] in kept]
        parts.append(part | {"facts": [known] if known is not None and not facts else facts})
    shown = {check_id(i): result for i, result in riders_results(report)}
    checks = [
        check | {"mend": [], "note": "", "source": plain_source(shown[check["id"]], texts)}
        for check in document["checks"]
        if check["id"] in shown
    ]
    return document | {"parts": parts, "checks": checks}
