// Variants: the sizes and settings of the file, and which of them all pages show.

import { find, make } from "../page/dom.js";

/** @typedef {import("./editor.js").Tell} Tell */
/** @typedef {{sizes: string[], settings: string[], size: string | null, chosen: string[]}} Offered */

/** How long what was marked here stands against news of what was chosen before [ms]. */
const PATIENCE = 5000;

export class Variants {
  /** @param {Tell} tell */
  constructor(tell) {
    this.tell = tell;
    this.root = find("#f3d-variants");
    this.sizes = find("#f3d-sizes");
    this.settings = find("#f3d-settings");
    /** @type {string | null} what was asked for and is not in the news yet */
    this.asked = null;
    this.askedAt = 0;
    this.root.addEventListener("change", () => this.choose());
  }

  /** @param {Offered} offered */
  take({ sizes, settings, size, chosen }) {
    list(this.sizes, "radio", sizes);
    list(this.settings, "checkbox", settings);
    this.root.hidden = sizes.length === 0 && settings.length === 0;
    const late = performance.now() - this.askedAt > PATIENCE;
    if (this.asked !== null && this.asked !== JSON.stringify([size, chosen]) && !late) return;
    this.asked = null;
    for (const input of inputs(this.sizes)) input.checked = input.value === size;
    for (const input of inputs(this.settings)) input.checked = chosen.includes(input.value);
  }

  /** Tell what is marked now. */
  choose() {
    const [sizes, settings] = [this.sizes, this.settings].map((group) =>
      inputs(group).filter((input) => input.checked).map((input) => input.value));
    const size = sizes[0] ?? null;
    this.asked = JSON.stringify([size, settings]);
    this.askedAt = performance.now();
    this.tell("vary", { size, settings });
  }
}

/**
 * Make a group have these choices; it stays as it is where it has them.
 * @param {HTMLElement} group
 * @param {string} type of its inputs
 * @param {string[]} names
 */
function list(group, type, names) {
  group.hidden = names.length === 0;
  if (inputs(group).map((input) => input.value).join("\n") === names.join("\n")) return;
  const choices = names.map((name) =>
    make("label", {}, make("input", { type, name: group.id, value: name }), make("span", {}, name)));
  group.replaceChildren(/** @type {Element} */ (group.firstElementChild), ...choices);
}

/**
 * @param {HTMLElement} group
 * @returns {HTMLInputElement[]}
 */
function inputs(group) {
  return [...group.querySelectorAll("input")];
}
