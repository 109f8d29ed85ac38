// Compare: what the page of several bikes does as it opens. Drawing and tables work without WebGL.

import { liveCurves } from "./curves.js";
import { find } from "./dom.js";
import { liveOverlay } from "./overlay.js";
import { Pair } from "./pair.js";
import { Theme } from "./theme.js";
import { unpackedDocument } from "./unpack.js";
import { Words } from "./words.js";

export async function compare() {
  document.documentElement.classList.add("scripted");
  const theme = new Theme();
  theme.ask(find("#theme"));
  find("#print").addEventListener("click", () => window.print());
  for (const controls of document.querySelectorAll(".controls")) controls.removeAttribute("hidden");
  liveOverlay();

  const model = find("#bike-model");
  const waiting = find(".waiting");
  try {
    if (typeof DecompressionStream === "undefined") throw new Error(waiting?.dataset.old ?? "");
    const page = await unpackedDocument("bundle-document");
    const words = new Words(page.texts);
    /** @type {Pair | null} */
    let pair = null;
    const lines = liveCurves(page.plots, words, (motion, value) => pair?.move({ [motion]: value }));
    if (model === null) return;
    waiting.textContent = waiting.dataset.loading;
    pair = new Pair(page, words, theme, (pose) => {
      for (const line of lines) {
        if (line.data.motion in pose) line.show(pose[line.data.motion]);
      }
    });
    await pair.open();
    waiting.textContent = "";
  } catch (problem) {
    if (model === null) return;
    model.classList.add("failed");
    const why = problem instanceof Error ? problem.message : String(problem);
    waiting.textContent = waiting.dataset.failed.replace("{why}", why);
    model.dataset.failed = why;
  }
}

compare();
