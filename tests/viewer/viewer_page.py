"""A bare page with the viewer on it, under a policy as strict as the report's."""

from __future__ import annotations

import base64
import json
from pathlib import Path
from typing import Any

from frame3d.viewer.modules import viewer_source
from frame3d.viewer.three_bundle import three_bundle

POLICY = (
    "default-src 'none'; script-src blob: 'nonce-test'; style-src 'nonce-test'; img-src data: blob:"
)

_HTML = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>viewer</title>
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width">
<style nonce="test">
html, body {{ margin: 0; height: 100% }} #stage {{ height: 100% }}
</style></head><body><div id="stage"></div>
<script type="application/json" id="data">{data}</script>
<script type="module" nonce="test">
const data = JSON.parse(document.getElementById("data").textContent);
const bytes = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
const module = (text) =>
  import(URL.createObjectURL(new Blob([bytes(text)], {{ type: "text/javascript" }})));
const [three, {{ createViewer }}] = await Promise.all([module(data.three), module(data.viewer)]);
window.data = data;
window.bytes = bytes;
const start = performance.now();
window.viewer = await createViewer(document.getElementById("stage"), {{
  three, glb: bytes(data.glb).buffer, scene: data.scene, texts: data.texts, ...data.options,
}});
window.firstPicture = performance.now() - start;
window.sincePage = performance.now();
window.seen = {{}};
for (const name of ["pick", "select", "pose", "check", "measure", "section"]) {{
  window.viewer.on(name, (detail) => ((window.seen[name] = window.seen[name] ?? []).push(detail)));
}}
document.body.dataset.ready = "yes";
</script></body></html>
"""


def texts() -> Any:
    """The package's texts."""
    from importlib.resources import files

    return json.loads((files("frame3d.report") / "texts" / "en.json").read_text(encoding="utf-8"))


def write_page(path: Path, glb: bytes, scene: dict[str, Any], **options: Any) -> Path:
    """Write the page; options go to `createViewer`."""
    data = {
        "three": base64.b64encode(three_bundle().encode()).decode(),
        "viewer": base64.b64encode(viewer_source().encode()).decode(),
        "glb": base64.b64encode(glb).decode(),
        "scene": scene,
        "texts": texts(),
        "options": options,
    }
    text = json.dumps(data).replace("<", "\\u003c")
    path.write_text(_HTML.format(policy=POLICY, data=text), encoding="utf-8")
    return path
