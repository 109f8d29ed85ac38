// Pointed: the side view and the values of the design that is pointed at, or chosen.

import { draw, find } from "./dom.js";
import { valueOn } from "./planes.js";

export class Pointed {
  /**
   * @param {any} page the page's document
   * @param {import("./words.js").Words} words
   */
  constructor(page, words) {
    this.page = page;
    this.words = words;
    this.chosen = 0;
    /** @type {number | null} */
    this.hovered = null;
    this.shown = 0;
    /** @type {(() => void)[]} called when another is chosen */
    this.listeners = [];
    this.panel = find("#pointed");
    /** @type {any[]} */
    this.buttons = [...document.querySelectorAll(".tell")];
    for (const button of this.buttons) {
      button.addEventListener("click", () => {
        this.choose(Number(button.dataset.row));
        this.panel.scrollIntoView({ block: "nearest" });
      });
    }
    this.press();
  }

  /** @param {number} row */
  choose(row) {
    this.chosen = row;
    this.show(row);
    this.press();
    for (const listener of this.listeners) listener();
  }

  /** @param {number | null} row null as the pointer leaves */
  hover(row) {
    this.hovered = row;
    this.show(row ?? this.chosen);
  }

  press() {
    for (const button of this.buttons) {
      button.setAttribute("aria-pressed", String(Number(button.dataset.row) === this.chosen));
    }
  }

  /** @param {number} row */
  show(row) {
    if (row === this.shown) return;
    this.shown = row;
    const { page, panel, words } = this;
    const { says } = page;
    const name = says.design.replace("{number}", String(row + 1));
    panel.querySelector(".who").textContent = name;
    panel.querySelector(".stand").textContent = this.standing(row);
    const drawn = row < page.bikes.length;
    panel.querySelector(".drawn").hidden = !drawn;
    panel.querySelector(".undrawn").hidden = drawn;
    if (drawn) {
      panel.querySelector(".drawn").replaceChildren(draw("svg", {
        class: "sheet side", viewBox: page.window, role: "img",
        "aria-label": says.side.replace("{name}", name),
      }, ...page.bikes[row].map((/** @type {number} */ i) => draw(page.shapes[i][0], page.shapes[i][1]))));
    }
    const cells = panel.querySelectorAll("td.value");
    page.axes.forEach((/** @type {any} */ axis, /** @type {number} */ i) => {
      cells[i].textContent = valueOn(axis, page.columns[i][row], words);
    });
  }

  /** @param {number} row */
  standing(row) {
    const { groups, stopped, stops, says, verdicts } = this.page;
    if (row < verdicts.length) return verdicts[row];
    if (groups[row] !== "x") return says.meets;
    const stop = stopped[row];
    return stop === null ? says.misses : says.stopped_by.replace("{what}", stops[stop]);
  }
}
