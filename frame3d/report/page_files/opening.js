// What pages with a model do as they open: theme, printing, what the model needs, and why there is none.

import { find } from "./dom.js";
import { Theme } from "./theme.js";
import { unpacked, unpackedDocument, unpackedModule } from "./unpack.js";

/** Mark the page as scripted, let it be printed and its colours be chosen. */
export function opened() {
  document.documentElement.classList.add("scripted");
  const theme = new Theme();
  theme.ask(find("#theme"));
  find("#print").addEventListener("click", () => window.print());
  return theme;
}

/** The page's data; an error where this browser cannot unpack it. */
export async function pageDocument() {
  if (typeof DecompressionStream === "undefined") throw new Error(find(".waiting")?.dataset.old ?? "");
  return unpackedDocument("bundle-document");
}

/** An error where this browser offers no WebGL. */
export function needWebGL() {
  const test = document.createElement("canvas").getContext("webgl2");
  if (test === null) throw new Error(find(".waiting").dataset.webgl);
  test.getExtension("WEBGL_lose_context")?.loseContext();
}

/** three.js, the viewer and the model's bytes. */
export function modelBundles() {
  return Promise.all([
    unpackedModule("bundle-three"), unpackedModule("bundle-viewer"), unpacked("bundle-glb"),
  ]);
}

/**
 * Say in the model's place why it cannot be shown.
 * @param {unknown} problem
 */
export function couldNotShow(problem) {
  const model = find("#bike-model");
  if (model === null) return;
  const waiting = find(".waiting");
  model.classList.add("failed");
  const why = problem instanceof Error ? problem.message : String(problem);
  waiting.textContent = waiting.dataset.failed.replace("{why}", why);
  model.dataset.failed = why;
}
