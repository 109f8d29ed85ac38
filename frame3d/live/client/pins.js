// Pins: figures that stay in sight beside the picture while one edits.

import { keep, kept } from "./kept.js";
import { find, make } from "../page/dom.js";

/** Where the browser keeps which. */
const PLACE = "f3d pins";

export class Pins {
  /** @param {import("../page/words.js").Words} words */
  constructor(words) {
    this.words = words;
    const before = kept(PLACE);
    /** @type {string[]} names of figures */
    this.names = Array.isArray(before) ? before.map(String) : [];
    this.list = find("#f3d-pins");
    find(".f3d-live").addEventListener("click", (event) => {
      const button = /** @type {HTMLElement} */ (event.target).closest("[data-pin]");
      if (button !== null) this.toggle(/** @type {HTMLElement} */ (button).dataset.pin ?? "");
    });
  }

  /** @param {string} name of a figure */
  toggle(name) {
    this.names = this.names.includes(name)
      ? this.names.filter((each) => each !== name)
      : [...this.names, name];
    keep(PLACE, this.names);
    this.dress(document);
    this.show();
  }

  /** @param {ParentNode} within whose buttons say what is pinned */
  dress(within) {
    for (const button of within.querySelectorAll("th [data-pin]")) {
      button.setAttribute("aria-pressed", String(this.names.includes(button.dataset.pin)));
    }
  }

  /** Show the pinned figures as the chart has them. */
  show() {
    const rows = this.names.map((name) => find('[data-place="figures"]').querySelector(`[data-figure="${CSS.escape(name)}"]`));
    const items = rows.filter((row) => row !== null).map((row) => {
      const name = row.dataset.figure;
      const title = row.querySelector(".means").textContent;
      const off = make("button", {
        type: "button", "data-pin": name, "aria-label": this.words.say("live.figures.unpin", { title }),
      }, "×");
      const change = row.querySelector(".change")?.textContent ?? "";
      return make("li", { "data-pinned": name },
        make("span", { class: "name" }, title), make("b", {}, valueOf(row)),
        make("span", { class: "change moved" }, change), off);
    });
    this.list.hidden = items.length === 0;
    const focused = /** @type {HTMLElement | null} */ (document.activeElement)?.closest("#f3d-pins li")?.dataset.pinned;
    this.list.replaceChildren(...items);
    if (focused !== undefined) this.list.querySelector(`[data-pinned="${focused}"] button`)?.focus();
  }
}

/** @param {Element} row of the chart */
function valueOf(row) {
  const parts = [...row.querySelector("td").childNodes].map((node) => node.textContent);
  return parts.join(parts[1] === "°" ? "" : " ");
}
