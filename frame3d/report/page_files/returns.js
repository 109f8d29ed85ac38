// Returns after a hit: the bike with three dampings side by side, moved by a slider or by itself.

import { between } from "./curves.js";
import { button, find, make } from "./dom.js";

const SLOWER = 4; // than real

/**
 * @typedef {object} Run travels over the time, null where that end stands still
 * @property {number[] | null} rear
 * @property {number[] | null} fork
 */

export class Returns {
  /**
   * @param {any} data lengths in mm, y down
   * @param {import("./words.js").Words} words
   * @param {(time: number) => void} moved
   */
  constructor(data, words, moved) {
    this.data = data;
    this.words = words;
    this.moved = moved;
    this.time = 0;
    this.playing = 0;
    /** @type {SVGSVGElement[]} */
    this.pictures = [...document.querySelectorAll("svg.hit-bike")].map((svg) => /** @type {any} */ (svg));
    const end = data.time[data.time.length - 1];
    this.slider = make("input", { type: "range", min: 0, max: end, step: 0.01, value: 0, id: "hit-time" });
    this.output = make("output", { for: "hit-time" });
    this.play = button(words.say("damping.moving.play"), () => this.toggle());
    // Who asks for no moves has the slider.
    this.play.hidden = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
    this.slider.addEventListener("input", () => {
      this.stop();
      this.show(Number(this.slider.value));
    });
    const label = make("label", {}, make("span", {}, words.say("damping.moving.time")), this.output, this.slider);
    find(".hit-controls").append(this.play, label);
    for (const svg of this.pictures) {
      const { x, width } = svg.viewBox.baseVal;
      const [a, b] = data.saddle;
      const [c, s, , , , f] = this.pitched(data.rest.rear, data.rest.fork);
      svg.querySelector(".level")?.setAttribute("d", `M${x} ${s * a + c * b + f}h${width}`);
    }
    find("#hit").hidden = false;
    this.show(0);
  }

  toggle() {
    if (this.playing !== 0) return this.stop();
    const end = Number(this.slider.max);
    if (this.time >= end) this.show(0);
    let before = performance.now();
    /** @param {number} now */
    const step = (now) => {
      this.show(Math.min(this.time + Math.max(now - before, 0) / 1000 / SLOWER, end));
      before = now;
      if (this.time >= end) this.stop();
      else this.playing = requestAnimationFrame(step);
    };
    this.playing = requestAnimationFrame(step);
    this.play.textContent = this.words.say("damping.moving.pause");
  }

  stop() {
    cancelAnimationFrame(this.playing);
    this.playing = 0;
    this.play.textContent = this.words.say("damping.moving.play");
  }

  /**
   * Show all bikes at a time since the hit.
   * @param {number} time [s]
   */
  show(time) {
    this.time = time;
    this.slider.value = String(time);
    this.output.textContent = this.words.quantity(time, "s", 2);
    this.pictures.forEach((svg, i) => this.place(svg, this.data.runs[i]));
    this.moved(time);
  }

  /**
   * @param {SVGSVGElement} svg
   * @param {Run} run
   */
  place(svg, run) {
    const { data } = this;
    /** @param {"rear" | "fork"} name */
    const at = (name) => (run[name] === null ? data.rest[name] : between(data.time, run[name], this.time));
    const travel = { rear: at("rear"), fork: at("fork") };
    const group = /** @type {SVGGElement} */ (svg.querySelector(".moves"));
    group.setAttribute("transform", `matrix(${this.pitched(travel.rear, travel.fork).join(" ")})`);
    data.parts.forEach((part, i) => {
      if (part === null) return;
      const [a, b, e, f] = along(data.travels[part.by], part.at, Math.max(travel[part.by], 0));
      group.children[i].setAttribute("transform", `matrix(${a} ${b} ${-b} ${a} ${e} ${f})`);
    });
  }

  /**
   * The frame's own move that sets both wheels on the ground; an end past full extension is off it.
   * @param {number} rear travel [mm]
   * @param {number} fork travel along its stanchions [mm]
   * @returns {number[]} a to f of an SVG matrix
   */
  pitched(rear, fork) {
    const { axles, radii, ground, travels } = this.data;
    const back = along(travels.rear ?? [0], axles.rear.places, Math.max(rear, 0));
    const front = [0, 1].map((i) => axles.front.at[i] + axles.front.up[i] * Math.max(fork, 0));
    const over = ground - radii.rear - Math.max(-rear, 0);
    const ahead = ground - radii.front + Math.min(-fork * axles.front.up[1], 0);
    const [dx, dy] = [front[0] - back[0], front[1] - back[1]];
    const turn = Math.asin((ahead - over) / Math.hypot(dx, dy)) - Math.atan2(dy, dx);
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    return [c, s, -s, c, 0, over - s * back[0] - c * back[1]];
  }
}

/**
 * Rows straight between known ones.
 * @param {number[]} t rising
 * @param {number[][]} rows
 * @param {number} at
 * @returns {number[]}
 */
function along(t, rows, at) {
  if (rows.length === 1) return rows[0];
  return rows[0].map((_, i) => between(t, rows.map((row) => row[i]), at) ?? 0);
}

/**
 * Bring the pictures of the returns to life.
 * @param {any} data null where there are none
 * @param {import("./words.js").Words} words
 * @param {(time: number) => void} moved
 * @returns {Returns | null}
 */
export function liveReturns(data, words, moved) {
  return data === null || find("#hit") === null ? null : new Returns(data, words, moved);
}
