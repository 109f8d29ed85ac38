"""The viewer's distances between meshes against python-fcl's: random bodies apart, at random places."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any

import fcl
import numpy as np

from frame3d.formats.glb import glb
from frame3d.solids.mesh import Mesh
from frame3d.solids.model import FrameModel, FramePart
from tests.bikes import hardtail_layout
from tests.report.browser import quiet_page
from tests.viewer.viewer_page import write_page
from tests.viewer.viewer_scene import turned

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser

COUNT = 12


def bodies() -> list[Mesh]:
    """Turned bodies with knobbly profiles, long and short, here and there, none near another."""
    random = np.random.default_rng(5)
    out = []
    for i in range(COUNT):
        around = 2 * np.pi * np.arange(9) / 9
        long = random.uniform(15, 120)
        r = 40 + random.uniform(10, 35, 9) * np.cos(around)
        z = long * np.sin(around) * random.uniform(0.6, 1.0, 9)
        mesh = turned(np.stack([r, z], axis=1), int(random.integers(12, 40)))
        turn = np.linalg.qr(random.normal(size=(3, 3)))[0]
        turn *= np.sign(np.linalg.det(turn))
        place = random.uniform(-20, 20, 3) + np.array([350.0 * (i % 4), 350.0 * (i // 4), 0.0])
        # As 32-bit numbers in metres, the way the file holds them.
        points = ((mesh.vertices @ turn.T + place) / 1000).astype("<f4").astype(float) * 1000
        out.append(Mesh(points, mesh.triangles))
    return out


def distance(a: Mesh, b: Mesh) -> float:
    """By python-fcl."""
    made = []
    for mesh in (a, b):
        bvh = fcl.BVHModel()
        bvh.beginModel(len(mesh.vertices), len(mesh.triangles))
        bvh.addSubModel(mesh.vertices, mesh.triangles)
        bvh.endModel()
        made.append(fcl.CollisionObject(bvh, fcl.Transform()))
    return float(fcl.distance(*made, fcl.DistanceRequest(), fcl.DistanceResult()))


def test_distances_agree_with_fcl(tmp_path: Path, browser: Browser) -> None:
    meshes = {f"body_{i}": mesh for i, mesh in enumerate(bodies())}
    made = [
        FramePart(
            name=n,
            key=n,
            side=None,
            colour=(0.5, 0.5, 0.5),
            material="",
            density=0.0,
            shape=None,
            volume=0.0,
            centre=(0.0, 0.0, 0.0),
        )
        for n in meshes
    ]
    scene: dict[str, Any] = {
        "parts": [
            {"name": n, "title": n, "group": "frame", "mount": "frame", "facts": [], "colour": "#888888"}
            for n in meshes
        ],
        "mounts": {"frame": []}, "swings": {}, "motions": [], "checks": [],
    }  # fmt: skip
    data = glb(FrameModel(hardtail_layout(), (), tuple(made), meshes))
    file = write_page(tmp_path / "page.html", data, scene, still=True)
    pairs = [*pairwise(meshes), *zip(meshes, reversed(meshes), strict=True)]
    pairs = [(a, b) for a, b in pairs if a != b]
    with quiet_page(browser, (200, 150)) as page:
        page.goto(file.as_uri())
        page.wait_for_selector("[data-ready]", timeout=60_000)
        found = page.evaluate(
            "(pairs) => pairs.map((pair) => viewer.measure('part', pair))", [list(p) for p in pairs]
        )
    for (a, b), measured in zip(pairs, found, strict=True):
        expected = distance(meshes[a], meshes[b])
        assert expected > 10
        assert abs(measured["distance"] - expected) < 1e-3, (a, b)
        p, q = (np.array(x) for x in measured["points"])
        assert abs(np.linalg.norm(p - q) - measured["distance"]) < 1e-9
