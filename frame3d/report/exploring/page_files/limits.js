// Limits: which groups and axes are drawn, and the ranges that are kept, by form.

import { button, find, make } from "./dom.js";
import { ends } from "./planes.js";

/**
 * @param {number} count
 * @returns {string} with its thousands apart
 */
const counted = (count) => String(count).replace(/\B(?=(\d{3})+$)/g, ",");

export class Limits {
  /**
   * @param {any} page the page's document
   * @param {import("./words.js").Words} words
   * @param {import("./brushed.js").Brushed} brushed
   * @param {import("./pointed.js").Pointed} pointed
   * @param {() => void} redraw when other axes are drawn
   */
  constructor(page, words, brushed, pointed, redraw) {
    this.page = page;
    this.words = words;
    this.brushed = brushed;
    this.pointed = pointed;
    this.redraw = redraw;
    this.count = find("#count");
    this.told = make("span");
    this.best = button(page.says.show_best, () => pointed.choose(brushed.within.indexOf(true)));
    this.clear = button(page.says.clear, () => brushed.clear());
    this.count.append(this.told, this.best, this.clear);
    /** @type {any[][]} */
    this.fields = [];
    /** @type {[number, number][]} least and greatest value on each axis */
    this.ends = page.columns.map((/** @type {any} */ column) => ends(column));
    find("#groups").append(...["f", "m", "x"].flatMap((group) => this.group(group)));
    find("#limits").append(...page.axes.map((/** @type {any} */ axis, /** @type {number} */ i) => this.row(axis, i)));
    brushed.listeners.push(() => this.tell());
    this.tell();
  }

  /** @param {string} group */
  group(group) {
    const { page, brushed } = this;
    const count = page.groups.split(group).length - 1;
    if (count === 0) return [];
    const box = make("input", { type: "checkbox", checked: true, "data-group": group });
    box.addEventListener("change", () => brushed.show(group, box.checked));
    return [make("label", {}, box, make("span", { class: `stroke ${group}` }),
      make("span", {}, `${page.says[group]} (${counted(count)})`))];
  }

  /**
   * @param {any} axis
   * @param {number} i
   */
  row(axis, i) {
    const { page, words } = this;
    const box = make("input", { type: "checkbox", checked: axis.shown });
    box.addEventListener("change", () => {
      axis.shown = box.checked;
      this.redraw();
    });
    const mark = words.get(`unit.${axis.unit}`) ?? axis.unit;
    const fields = ["from", "to"].map((end) => {
      const label = page.says[`${end}_of`].replace("{what}", axis.title);
      const field = axis.names.length > 0
        ? make("select", { "aria-label": label }, make("option", { value: "" }, "–"),
          ...axis.names.map((/** @type {string} */ name, /** @type {number} */ at) => make("option", { value: at }, name)))
        : make("input", { type: "number", step: "any", "aria-label": label, placeholder: page.says[end] });
      field.addEventListener("change", () => this.take(i));
      return field;
    });
    this.fields.push(fields);
    return make("div", { class: "range", role: "group", "aria-label": axis.title },
      make("label", { class: "drawn-axis" }, box, make("span", {}, mark === "" ? axis.title : `${axis.title} (${mark})`)),
      ...fields);
  }

  /** @param {number} i axis whose fields were changed */
  take(i) {
    const [low, high] = this.fields[i].map((field) => field.value === "" ? null : Number(field.value));
    const [least, most] = this.ends[i];
    this.brushed.keep(i, low === null && high === null ? [] : [[low ?? least, high ?? most]]);
  }

  /** Say how many designs are within, and show the ranges in the form. */
  tell() {
    const { page, brushed } = this;
    const within = brushed.within.filter(Boolean).length;
    const meeting = brushed.within.filter((kept, row) => kept && page.groups[row] !== "x").length;
    const whole = brushed.ranges.size === 0 && brushed.hidden.size === 0;
    const say = whole ? page.says.all : page.says.count;
    this.told.textContent = say.replace("{within}", counted(within))
      .replace("{shown}", counted(page.groups.length)).replace("{meeting}", counted(meeting));
    this.clear.hidden = brushed.ranges.size === 0;
    this.best.hidden = whole || within === 0;
    this.fields.forEach((fields, i) => {
      const ranges = brushed.ranges.get(i) ?? [];
      const own = ranges.length === 0 ? [null, null] : [ranges[0][0], ranges[ranges.length - 1][1]];
      fields.forEach((field, end) => {
        const value = own[end];
        const named = page.axes[i].names.length > 0;
        const said = value === null || value === this.ends[i][end] ? "" // an end that is not limited
          : named ? String(Math.round(value)) : value.toFixed(page.axes[i].decimals);
        if (field.value === "" || Number(field.value) !== Number(said) || said === "") field.value = said;
      });
    });
    for (const row of document.querySelectorAll("tr[data-row]")) {
      row.classList.toggle("aside", !brushed.within[Number(/** @type {any} */ (row).dataset.row)]);
    }
  }
}
