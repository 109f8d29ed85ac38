// Compare: what the page of several bikes does as it opens. Drawing and tables work without WebGL.

import { liveCurves } from "./curves.js";
import { find } from "./dom.js";
import { couldNotShow, opened, pageDocument } from "./opening.js";
import { liveOverlay } from "./overlay.js";
import { Pair } from "./pair.js";
import { Words } from "./words.js";

export async function compare() {
  const theme = opened();
  for (const controls of document.querySelectorAll(".controls")) controls.removeAttribute("hidden");
  liveOverlay();

  const model = find("#bike-model");
  const waiting = find(".waiting");
  try {
    const page = await pageDocument();
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
    couldNotShow(problem);
  }
}

compare();
