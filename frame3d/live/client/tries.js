// Tries: sliders for numbers of the file, which can be tried before they are written.

import { find, make } from "../page/dom.js";

/** @typedef {import("./editor.js").Tell} Tell */
/** @typedef {{path: string, title: string, unit: string, low: number, high: number, step: number, value: number, of: string}} One */

/** Least time between two values of a slider under the hand [ms]; the last one always goes out. */
const BETWEEN = 30;

export class Tries {
  /**
   * @param {import("../page/words.js").Words} words
   * @param {Tell} tell
   */
  constructor(words, tell) {
    this.words = words;
    this.tell = tell;
    /** @type {Map<string, {one: One, row: HTMLElement, range: HTMLInputElement, field: HTMLInputElement, was: HTMLElement, of: HTMLElement}>} */
    this.rows = new Map();
    /** @type {Record<string, number>} */
    this.values = {};
    /** @type {Map<string, number>} what was sent and is not among the values yet */
    this.sent = new Map();
    /** @type {string | null} path of the slider that is being dragged */
    this.dragged = null;
    /** @type {number | null} timer until the next value of a dragged slider goes out */
    this.resting = null;
    /** @type {{path: string, value: number, dragging: boolean} | null} what waits for that */
    this.held = null;
    this.list = find("#f3d-tries");
    this.choice = find("#f3d-known");
    this.choice.addEventListener("change", () => {
      const path = this.choice.value;
      this.choice.value = "";
      if (path !== "") tell("choose", { path, on: true });
    });
    find("#f3d-keep").addEventListener("click", () => tell("save"));
    find("#f3d-let-go").addEventListener("click", () => tell("let_go"));
  }

  /** @param {{known: [string, string][], chosen: One[]}} given */
  take({ known, chosen }) {
    const first = make("option", { value: "" }, this.words.say("live.try.choose"));
    this.choice.replaceChildren(first, ...groups(known));
    const paths = chosen.map(({ path }) => path);
    for (const [path, { row }] of this.rows) {
      if (!paths.includes(path)) {
        row.remove();
        this.rows.delete(path);
        this.sent.delete(path);
      }
    }
    for (const one of chosen) this.set(one);
    find("#f3d-try-says").hidden = chosen.length > 0;
    this.paint();
  }

  /** @param {One} one */
  set(one) {
    const { path, title, low, high, step, unit } = one;
    const known = this.rows.get(path);
    if (known !== undefined) {
      known.one = one;
      known.of.textContent = one.of;
      // Limits that move under a finger would move the value too.
      if (this.dragged !== path) limits(known.range, one);
      return;
    }
    const range = make("input", { type: "range", "aria-label": `${title}, ${path}` });
    const field = make("input", { type: "number", step: "any", "aria-label": `${title}, ${path}` });
    const was = make("span", { class: "was" });
    const of = make("span", { class: "of" }, one.of);
    limits(range, one);
    range.addEventListener("input", () => {
      this.send(path, Number(range.value), this.dragged === path);
      this.dragged = path;
      field.value = range.value;
    });
    range.addEventListener("change", () => {
      this.dragged = null;
      this.flush();
      this.paint();
    });
    field.addEventListener("change", () => {
      if (field.value !== "") this.send(path, Number(field.value), false);
    });
    const off = make("button", {
      type: "button", class: "off", "aria-label": this.words.say("live.try.remove", { path }),
    }, "×");
    off.addEventListener("click", () => this.tell("choose", { path, on: false }));
    const row = make("li", { "data-path": path },
      make("span", { class: "name" }, make("b", {}, title), make("code", {}, path), of), off,
      range, make("span", { class: "value" }, field, unit), was);
    this.rows.set(path, { one, row, range, field, was, of });
    this.list.append(row);
  }

  /**
   * @param {string} path
   * @param {number} value
   * @param {boolean} dragging whether the slider goes on from the value before
   */
  send(path, value, dragging) {
    this.sent.set(path, value);
    const one = { path, value, dragging };
    if (dragging && this.resting !== null) {
      this.held = one;
      return;
    }
    this.flush();
    this.tell("try", one);
    this.resting = setTimeout(() => {
      this.resting = null;
      this.flush();
    }, BETWEEN);
  }

  /** Send the value that waits. */
  flush() {
    if (this.held === null) return;
    const one = this.held;
    this.held = null;
    this.tell("try", one);
  }

  /**
   * @param {Record<string, number>} values that are tried, by path
   * @param {string[]} elsewhere places in the file of tried values that this bike does not have
   */
  tried(values, elsewhere) {
    this.values = values;
    for (const [path, value] of this.sent) {
      if ((values[path] ?? this.rows.get(path)?.one.value) === value) this.sent.delete(path);
    }
    this.paint();
    const some = Object.keys(values).length > 0 || elsewhere.length > 0;
    const also = find("#f3d-elsewhere");
    also.hidden = elsewhere.length === 0;
    also.textContent = this.words.say("live.try.elsewhere", { paths: elsewhere.join(", ") });
    find("#f3d-keep").disabled = !some;
    find("#f3d-let-go").disabled = !some;
  }

  paint() {
    for (const [path, { one, row, range, field, was }] of this.rows) {
      const tried = this.values[path];
      const now = this.sent.get(path) ?? tried ?? one.value;
      if (this.dragged !== path) {
        range.value = String(now);
        if (document.activeElement !== field) field.value = String(now);
      }
      row.classList.toggle("tried", tried !== undefined);
      const said = tried === undefined ? "" : this.words.say("live.try.was", { value: one.value });
      if (was.textContent !== said) was.textContent = said;
    }
  }
}

/**
 * @param {HTMLInputElement} range
 * @param {One} one
 */
function limits(range, { low, high, step }) {
  [range.min, range.max, range.step] = [String(low), String(high), String(step)];
}

/**
 * Numbers under the first part of their paths.
 * @param {[string, string][]} known
 */
function groups(known) {
  /** @type {Map<string, any[]>} */
  const found = new Map();
  for (const [path, title] of known) {
    const [top, second] = path.split(".");
    const group = second !== undefined && path.split(".").length > 2 ? `${top}.${second}` : top;
    const rest = path.slice(group.length + 1) || path;
    const option = make("option", { value: path }, `${rest} — ${title}`);
    found.set(group, [...(found.get(group) ?? []), option]);
  }
  return [...found].map(([label, options]) => make("optgroup", { label }, ...options));
}
