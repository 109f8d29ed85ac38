// Finish: what kind of surface a part has, by what the part is.

import { SURFACES } from "./shade.js";

/** @type {[RegExp, import("./shade.js").Finish][]} */
const BY_NAME = [
  [/tyre|grip/, "rubber"],
  [/saddle|shoe|bottle/, "soft"],
  [/rotor|cog|cassette|chain|axle|spring/, "steel"],
];

/**
 * A part's finish: its own where the scene names one, else by group and name.
 * @param {{name: string, group: string, finish?: string}} part
 * @returns {import("./shade.js").Finish}
 */
export function finishOf(part) {
  if (part.finish !== undefined && Object.hasOwn(SURFACES, part.finish)) {
    return /** @type {import("./shade.js").Finish} */ (part.finish);
  }
  if (part.group === "frame" || part.group === "linkage") return "paint";
  return BY_NAME.find(([pattern]) => pattern.test(part.name))?.[1] ?? "alloy";
}
