// Parts: the list of parts to show, hide, choose or see alone, and a card for the chosen one.

import { button, find, make } from "./dom.js";

/** @typedef {import("../viewer/viewer.js").Viewer} Viewer */
/** @typedef {import("./words.js").Words} Words */

export class PartsList {
  /**
   * @param {any} scene the scene document
   * @param {Words} words
   */
  constructor(scene, words) {
    this.scene = scene;
    this.words = words;
    this.card = find(".card");
    /** @type {Viewer | null} */
    this.viewer = null;
    /** @type {string[] | null} names of those that are seen alone */
    this.only = null;
    /** @type {Map<string, HTMLInputElement>} */
    this.boxes = new Map();
    /** @type {Map<string, HTMLElement>} */
    this.rows = new Map();
    const panel = find("#panel-parts");
    panel.append(
      make("div", { class: "row" },
        button(words.say("panel.all"), () => this.all(true), { class: "small" }),
        button(words.say("panel.frame_only"), () => this.frameAlone(), { class: "small" }),
      ),
      ...this.groups().map(([group, parts]) => this.group(group, parts)),
    );
  }

  /** @returns {[string, any[]][]} */
  groups() {
    /** @type {Map<string, any[]>} */
    const found = new Map();
    for (const part of this.scene.parts) {
      found.set(part.group, [...(found.get(part.group) ?? []), part]);
    }
    return [...found];
  }

  /**
   * @param {string} group
   * @param {any[]} parts
   */
  group(group, parts) {
    const title = this.words.get(`group.${group}`) ?? group;
    const names = parts.map((part) => part.name);
    const box = this.box(title, (on) => {
      for (const name of names) this.show(name, on);
    });
    this.boxes.set(`group ${group}`, box);
    return make("div", { class: "group" },
      make("div", {}, box, make("h3", {}, title),
        button(this.words.say("panel.only_group"), () => this.alone(names), { class: "small only" })),
      make("ul", {}, ...parts.map((part) => this.row(part))),
    );
  }

  /** @param {any} part */
  row(part) {
    const box = this.box(part.title, (on) => this.show(part.name, on));
    this.boxes.set(part.name, box);
    const swatch = make("span", { class: "swatch", "aria-hidden": "true" });
    swatch.style.backgroundColor = part.colour;
    const row = make("li", {}, box, swatch,
      button(part.title, () => this.viewer?.select(part.name), { class: "name" }),
      button(this.words.say("panel.only"), () => this.alone([part.name]),
        {
          class: "small only", tabindex: -1, // the card of a chosen part has the same button
          "aria-label": `${this.words.say("panel.only")}: ${part.title}`,
        }),
    );
    this.rows.set(part.name, row);
    return row;
  }

  /**
   * @param {string} title
   * @param {(on: boolean) => void} act
   * @returns {HTMLInputElement}
   */
  box(title, act) {
    const label = this.words.say("panel.show", { part: title });
    const box = make("input", { type: "checkbox", "aria-label": label });
    box.checked = true;
    box.addEventListener("change", () => act(box.checked));
    return box;
  }

  /** @param {Viewer} viewer */
  join(viewer) {
    this.viewer = viewer;
    viewer.on("select", (name) => this.chosen(name));
  }

  /**
   * @param {string} name
   * @param {boolean} on
   */
  show(name, on) {
    if (this.only !== null) this.alone(null);
    this.viewer?.show(name, on);
    const box = this.boxes.get(name);
    if (box !== undefined) box.checked = on;
    this.sum();
  }

  /** Groups' boxes as their parts' are. */
  sum() {
    for (const [group, parts] of this.groups()) {
      const box = this.boxes.get(`group ${group}`);
      const shown = parts.filter((part) => this.boxes.get(part.name)?.checked).length;
      if (box === undefined) continue;
      box.checked = shown > 0;
      box.indeterminate = shown > 0 && shown < parts.length;
    }
  }

  /** @param {boolean} on */
  all(on) {
    this.alone(null);
    for (const part of this.scene.parts) this.show(part.name, on);
  }

  frameAlone() {
    const own = ["frame", "linkage"];
    this.alone(this.scene.parts.filter((p) => own.includes(p.group)).map((p) => p.name));
  }

  /** @param {string[] | null} names */
  alone(names) {
    const again = names !== null && this.only !== null && names.join() === this.only.join();
    this.only = again ? null : names;
    this.viewer?.isolate(this.only);
    for (const [name, row] of this.rows) {
      row.classList.toggle("aside", this.only !== null && !this.only.includes(name));
    }
    if (this.only !== null) this.viewer?.fit();
  }

  /** @param {string | null} name */
  chosen(name) {
    for (const [other, row] of this.rows) row.classList.toggle("chosen", other === name);
    const part = this.scene.parts.find((each) => each.name === name);
    this.card.hidden = part === undefined;
    if (part === undefined) return;
    const { words } = this;
    this.card.replaceChildren(
      make("h3", {}, part.title),
      button(words.say("panel.close"), () => this.viewer?.select(null), { class: "shut" }),
      make("dl", {}, ...part.facts.flatMap(([what, value]) => [
        make("dt", {}, what), make("dd", {}, value),
      ])),
      make("div", { class: "row" },
        button(words.say("panel.only"), () => this.alone([part.name])),
        button(words.say("panel.hide"), () => {
          this.viewer?.select(null);
          this.show(part.name, false);
        }),
      ),
    );
    this.rows.get(part.name)?.scrollIntoView({ block: "nearest" });
  }
}
