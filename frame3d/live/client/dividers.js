// Dividers: how much room text, picture and tables have; dragged, or moved with keys, and remembered.

import { keep, kept } from "./kept.js";
import { find } from "../page/dom.js";

/** Where the browser keeps the shares. */
const PLACE = "f3d desk";
/** What a key moves, of the whole [%]. */
const STEP = 2;

/** @typedef {{name: string, least: number, most: number, usual: number, upright: boolean}} Kind */

/** Shares of text and picture [%]. @type {Kind[]} */
const KINDS = [
  { name: "text", least: 20, most: 65, usual: 37, upright: true },
  { name: "picture", least: 25, most: 80, usual: 57, upright: false },
];

export class Dividers {
  constructor() {
    /** @type {Record<string, number>} */
    this.shares = kept(PLACE) ?? {};
    for (const kind of KINDS) this.join(kind);
  }

  /** @param {Kind} kind */
  join(kind) {
    const bar = find(`[data-divider="${kind.name}"]`);
    const { least, most, usual, upright } = kind;
    const share = Number(this.shares[kind.name]);
    this.set(bar, kind, share > 0 ? share : usual, false);
    const at = (/** @type {PointerEvent} */ event) => {
      const box = bar.closest(upright ? ".f3d-desk" : ".f3d-looking").getBoundingClientRect();
      return 100 * (upright ? (event.clientX - box.left) / box.width : (event.clientY - box.top) / box.height);
    };
    bar.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      event.preventDefault();
      bar.focus();
      bar.setPointerCapture(event.pointerId);
    });
    bar.addEventListener("pointermove", (event) => {
      if (bar.hasPointerCapture(event.pointerId)) this.set(bar, kind, at(event), false);
    });
    bar.addEventListener("lostpointercapture", () => this.keep());
    bar.addEventListener("dblclick", () => this.set(bar, kind, usual));
    bar.addEventListener("keydown", (event) => {
      const [less, more] = upright ? ["ArrowLeft", "ArrowRight"] : ["ArrowUp", "ArrowDown"];
      const now = Number(bar.getAttribute("aria-valuenow"));
      const share = { [less]: now - STEP, [more]: now + STEP, Home: least, End: most }[event.key];
      if (share === undefined) return;
      event.preventDefault();
      this.set(bar, kind, share);
    });
  }

  /**
   * @param {HTMLElement} bar
   * @param {Kind} kind
   * @param {number} share of the whole [%]
   * @param {boolean} [lasting] whether it is kept
   */
  set(bar, { name, least, most }, share, lasting = true) {
    const held = Math.min(most, Math.max(least, share));
    this.shares[name] = held;
    find(".f3d-live").style.setProperty(`--share-${name}`, `${held.toFixed(2)}%`);
    bar.setAttribute("aria-valuenow", String(Math.round(held)));
    if (lasting) this.keep();
  }

  keep() {
    keep(PLACE, this.shares);
  }
}
