// Gaps: the list of clearances beside the model; a chosen one shows its gap as it moves, and can be flown to.

import { between } from "./curves.js";
import { button, draw, find, make } from "./dom.js";

/** @typedef {import("../viewer/viewer.js").Viewer} Viewer */
/** @typedef {import("./words.js").Words} Words */

const NARROW = window.matchMedia("(max-width: 61.99rem)");
const [WIDE, HIGH, SIDE, FOOT] = [300, 110, 8, 20];

export class GapsList {
  /**
   * @param {any} page the page's document
   * @param {Words} words
   * @param {() => void} open brings the panel into view
   */
  constructor(page, words, open) {
    this.words = words;
    this.close = page.close;
    this.checks = page.scene.checks.filter((check) => check.points !== null);
    /** @type {Viewer | null} */
    this.viewer = null;
    /** @type {string | null} */
    this.chosen = null;
    /** @type {Map<string, {button: HTMLElement, track: HTMLElement}>} */
    this.rows = new Map();
    find("#panel-checks").append(
      make("ul", { class: "check-list" }, ...this.checks.map((check) => this.row(check))),
    );
    for (const term of document.querySelectorAll(".checks button[data-check]")) {
      term.addEventListener("click", () => {
        const id = /** @type {HTMLElement} */ (term).dataset.check ?? "";
        open();
        this.choose(id, true);
      });
    }
  }

  /** @param {any} check */
  row(check) {
    const { words } = this;
    const state = stateOf(check, this.close);
    const pair = (check.names ?? []).join(" – ");
    const shown = make("button", { type: "button", "aria-pressed": "false" },
      make("span", { class: `mark ${state}`, "aria-hidden": "true" }, words.say(`status.${state}_mark`)),
      make("span", {}, check.title,
        make("span", { class: "unseen" }, `, ${words.say(`status.${state}`)}`)),
      make("span", { class: "gap" }, certain(check, check.decimals, words)),
      make("span", { class: "between" }, pair),
    );
    shown.addEventListener("click", () => this.choose(this.chosen === check.id ? null : check.id));
    shown.addEventListener("dblclick", () => this.choose(check.id, true));
    const track = make("div", { class: "track", hidden: true });
    this.rows.set(check.id, { button: shown, track });
    return make("li", { class: state }, shown, track);
  }

  /** @param {Viewer} viewer */
  join(viewer) {
    this.viewer = viewer;
    viewer.on("check", (now) => this.told(now));
    viewer.on("pose", () => this.moved());
  }

  /**
   * @param {string | null} id
   * @param {boolean} [near] whether the picture flies there; else it stays as it is
   */
  choose(id, near = false) {
    this.chosen = id;
    for (const [other, row] of this.rows) {
      row.button.setAttribute("aria-pressed", String(other === id));
      row.track.hidden = other !== id;
    }
    const check = this.checks.find((each) => each.id === id);
    const row = this.rows.get(id ?? "");
    if (check !== undefined && row !== undefined) {
      row.track.replaceChildren(...this.about(check));
      row.button.scrollIntoView({ block: "nearest" });
      // Where the list lies below the picture, the picture comes back, clear of the bar at the top.
      if (NARROW.matches) find(".stage").scrollIntoView({ block: "start" });
    }
    this.viewer?.showCheck(id, near);
  }

  /** @param {any} check */
  about(check) {
    const { words } = this;
    const rows = [
      [words.say("checks.now"), "–", "now"],
      [words.say("checks.least"), certain(check, Math.max(2, check.decimals), words), ""],
      [words.say("checks.required"), words.quantity(check.required, check.unit), ""],
      [words.say("checks.from"), check.source, ""],
    ];
    const list = make("dl", {}, ...rows.flatMap(([what, value, kind]) => [
      make("dt", {}, what), make("dd", { class: kind || null }, value),
    ]));
    const mends = check.mend.length === 0 ? [] : [
      make("p", {}, make("strong", {}, words.say("checks.mend"))),
      make("ul", {}, ...check.mend.map((way) => make("li", {}, way))),
    ];
    const near = button(words.say("checks.near"), () => this.viewer?.showCheck(check.id, true));
    return [list, make("p", {}, near), ...mends, ...(check.track === null ? [] : [this.graph(check)])];
  }

  /**
   * The smallest gap along its travel, with the requirement and where the bike stands.
   * @param {any} check
   */
  graph(check) {
    const { values, gaps, motion, drawn, unit } = check.track;
    const motionName = this.words.say(`motion.${motion}.title`).toLowerCase();
    const [low, high] = [Math.min(0, ...gaps), Math.max(check.required * 1.4, ...gaps)];
    const [first, last] = [values[0], values[values.length - 1]];
    this.place = (/** @type {number} */ x, /** @type {number} */ y) => [
      SIDE + ((x - first) / (last - first)) * (WIDE - 2 * SIDE),
      HIGH - FOOT - ((y - low) / (high - low)) * (HIGH - FOOT - 14),
    ];
    const at = (/** @type {number} */ x, /** @type {number} */ y) => this.place(x, y).join(" ");
    const title = this.words.say("checks.track", { motion: motionName });
    const [, need] = this.place(first, check.required);
    // The requirement is named at the end where the curve is further from its line, on its other side.
    const ends = [gaps[0], gaps[gaps.length - 1]].map((gap) => this.place(first, gap)[1] - need);
    const atEnd = Math.abs(ends[1]) > Math.abs(ends[0]);
    const named = {
      x: atEnd ? WIDE - SIDE : SIDE, y: ends[atEnd ? 1 : 0] > 0 ? need - 4 : need + 12,
      "text-anchor": atEnd ? "end" : "start",
    };
    return draw("svg", { viewBox: `0 0 ${WIDE} ${HIGH}`, role: "img", "aria-label": title },
      draw("path", { class: "axis", d: `M${at(first, 0)}L${at(last, 0)}` }),
      draw("path", { class: "level", d: `M${at(first, check.required)}L${at(last, check.required)}` }),
      draw("text", { class: "mark", ...named },
        `${this.words.say("checks.required")} ${this.words.quantity(check.required, check.unit, 0)}`),
      draw("path", { class: "curve c0", d: `M${values.map((x, i) => at(x, gaps[i])).join("L")}` }),
      draw("text", { x: SIDE, y: HIGH - 4 }, this.words.quantity(drawn + first, unit, 0)),
      draw("text", { x: WIDE / 2, y: HIGH - 4, "text-anchor": "middle" }, title),
      draw("text", { x: WIDE - SIDE, y: HIGH - 4, "text-anchor": "end" },
        this.words.quantity(drawn + last, unit, 0)),
      draw("path", { class: "now" }),
    );
  }

  /** @param {any} now the chosen check as the bike stands */
  told(now) {
    if (now === null && this.chosen !== null) {
      // Let go of by the viewer's own keys.
      this.chosen = null;
      for (const row of this.rows.values()) {
        row.button.setAttribute("aria-pressed", "false");
        row.track.hidden = true;
      }
      return;
    }
    const cell = this.rows.get(now?.id ?? "")?.track.querySelector("dd.now");
    if (cell === null || cell === undefined) return;
    const key = now.from === "measured" ? "checks.about" : now.gap < 0 ? "checks.overlap" : "checks.exact";
    const gap = this.words.quantity(Math.abs(now.gap), "mm", now.decimals ?? 1);
    cell.textContent = this.words.say(key, { gap });
  }

  /** The mark on the graph goes where the bike stands. */
  moved() {
    const check = this.checks.find((each) => each.id === this.chosen);
    const mark = this.rows.get(this.chosen ?? "")?.track.querySelector("path.now");
    if (check === undefined || mark === null || mark === undefined || check.track === null) return;
    const x = this.viewer?.pose()[check.track.motion] ?? 0;
    const gap = between(check.track.values, check.track.gaps, x) ?? 0;
    const [u, v] = this.place(x, gap);
    mark.setAttribute("d", `M${u} 6V${HIGH - FOOT}M${u - 4} ${v}a4 4 0 1 0 8 0a4 4 0 1 0 -8 0`);
  }
}

/**
 * The lower end of a check's certificate, or both ends of a wide one.
 * @param {any} check
 * @param {number} decimals
 * @param {any} words
 */
function certain(check, decimals, words) {
  const least = words.quantity(check.least, check.unit, decimals);
  if (!check.wide) return least;
  return words.say("checks.between", { least, most: words.quantity(check.gap, check.unit, decimals) });
}

/**
 * @param {any} check
 * @param {number} close
 */
function stateOf(check, close) {
  if (!check.ok) return "short";
  return check.least - check.required < close ? "close" : "holds";
}
