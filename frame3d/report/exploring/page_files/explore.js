// Explore: what the page of an exploration does as it opens. All tables are complete without.

import { Brushed } from "./brushed.js";
import { find } from "./dom.js";
import { Limits } from "./limits.js";
import { opened, pageDocument } from "./opening.js";
import { Parallel } from "./parallel.js";
import { Pointed } from "./pointed.js";
import { Scatter } from "./scatter.js";
import { unpackedModule } from "./unpack.js";
import { Words } from "./words.js";

export async function explore() {
  const theme = opened();
  for (const controls of document.querySelectorAll(".controls")) controls.removeAttribute("hidden");
  const waiting = find(".waiting");
  if (waiting === null) return;
  try {
    const page = await pageDocument();
    const { echarts } = await unpackedModule("bundle-charts");
    for (const part of document.querySelectorAll(".live")) part.removeAttribute("hidden");
    const words = new Words(page.texts);
    const brushed = new Brushed(page);
    const pointed = new Pointed(page, words);
    const parallel = new Parallel(echarts, page, words, brushed, pointed);
    const scatter = new Scatter(echarts, page, words, brushed, pointed);
    new Limits(page, words, brushed, pointed, () => parallel.draw());
    const charts = [parallel, scatter];
    theme.listeners.push(() => {
      for (const chart of charts) chart.draw();
    });
    window.addEventListener("resize", () => {
      for (const chart of charts) chart.fit();
    });
    onPaper(charts);
    find("#parallel").dataset.ready = "";
  } catch (problem) {
    waiting.textContent = problem instanceof Error ? problem.message : String(problem);
  }
}

/**
 * Paper is white: charts are drawn in the light colours while it prints.
 * @param {{draw: () => void, flush: () => void}[]} charts
 */
function onPaper(charts) {
  const root = document.documentElement;
  let chosen = "auto";
  const draw = () => {
    for (const chart of charts) {
      chart.draw();
      chart.flush();
    }
  };
  window.addEventListener("beforeprint", () => {
    chosen = root.dataset.theme ?? "auto";
    root.dataset.theme = "light";
    draw();
  });
  window.addEventListener("afterprint", () => {
    root.dataset.theme = chosen;
    draw();
  });
}

explore();
