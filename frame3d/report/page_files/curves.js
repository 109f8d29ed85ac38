// Curves: a crosshair that reads the plots, moved by pointer or arrow keys, together with the bike.

import { draw, make } from "./dom.js";

/**
 * @typedef {object} PlotData
 * @property {string} key
 * @property {string} motion whose values `t` are; empty for none
 * @property {number[]} t rising
 * @property {number[]} x
 * @property {string} xName
 * @property {string} xUnit
 * @property {string} yUnit
 * @property {number} decimals
 * @property {{name: string, y: (number | null)[]}[]} series
 * @property {[number, number, number, number]} box left, top, width, height in the picture
 * @property {[number, number]} xRange
 * @property {[number, number]} yRange
 */

const STEPS = 60; // of the arrow keys along a curve

export class Curve {
  /**
   * @param {PlotData} data
   * @param {SVGSVGElement} svg
   * @param {import("./words.js").Words} words
   * @param {(motion: string, value: number) => void} moved
   */
  constructor(data, svg, words, moved) {
    this.data = data;
    this.svg = svg;
    this.words = words;
    this.moved = moved;
    this.hair = /** @type {SVGGElement} */ (svg.querySelector(".crosshair"));
    this.reading = svg.closest("figure")?.querySelector(".reading") ?? null;
    this.value = data.t[0];
    svg.setAttribute("tabindex", "0");
    svg.setAttribute("role", "slider");
    svg.setAttribute("aria-valuemin", String(data.t[0]));
    svg.setAttribute("aria-valuemax", String(data.t[data.t.length - 1]));
    this.say(false);
    svg.addEventListener("pointermove", (event) => {
      if (event.pointerType === "mouse" || event.buttons > 0) this.pointed(event);
    });
    svg.addEventListener("pointerdown", (event) => this.pointed(event));
    svg.addEventListener("keydown", (event) => this.pressed(event));
  }

  /** @param {PointerEvent} event */
  pointed(event) {
    const frame = this.svg.getBoundingClientRect();
    const scale = this.svg.viewBox.baseVal.width / frame.width;
    const at = [(event.clientX - frame.left) * scale, (event.clientY - frame.top) * scale];
    const { t, x, series } = this.data;
    const plain = t.every((value, i) => value === x[i]);
    if (plain) {
      const [left, , width] = this.data.box;
      const [low, high] = this.data.xRange;
      this.go(low + ((at[0] - left) / width) * (high - low));
      return;
    }
    const far = t.map((_, i) => {
      const [u, v] = this.place(x[i], series[0].y[i] ?? 0);
      return (u - at[0]) ** 2 + (v - at[1]) ** 2;
    });
    this.go(t[far.indexOf(Math.min(...far))]);
  }

  /** @param {KeyboardEvent} event */
  pressed(event) {
    const [low, high] = [this.data.t[0], this.data.t[this.data.t.length - 1]];
    const step = (high - low) / STEPS;
    /** @type {Record<string, number>} */
    const to = {
      ArrowRight: this.value + step, ArrowUp: this.value + step,
      ArrowLeft: this.value - step, ArrowDown: this.value - step, Home: low, End: high,
    };
    if (!(event.key in to)) return;
    event.preventDefault();
    this.go(to[event.key]);
  }

  /** @param {number} value */
  go(value) {
    const { t, motion } = this.data;
    this.show(Math.min(Math.max(value, t[0]), t[t.length - 1]));
    if (motion !== "") this.moved(motion, this.value);
  }

  /**
   * Put the crosshair at a value.
   * @param {number} value
   */
  show(value) {
    this.value = value;
    const { data } = this;
    const x = between(data.t, data.x, value) ?? 0;
    const [, top, , height] = data.box;
    const found = data.series.map(({ y }) => between(data.t, y, value));
    const [u] = this.place(x, data.yRange[0]);
    this.hair.replaceChildren(
      draw("path", { d: `M${u} ${top}v${height}` }),
      ...found.flatMap((y) => {
        if (y === null || y < data.yRange[0] || y > data.yRange[1]) return [];
        const [cx, cy] = this.place(x, y);
        return [draw("circle", { cx, cy, r: 4 })];
      }),
    );
    this.say(true, x, found);
  }

  /**
   * @param {boolean} shown whether the crosshair is
   * @param {number} [x]
   * @param {(number | null)[]} [found]
   */
  say(shown, x = 0, found = []) {
    const { data, words } = this;
    const parts = [
      make("span", {}, `${data.xName} `, make("b", {}, words.quantity(x, data.xUnit, 1))),
      ...found.map((y, i) =>
        make("span", {}, `${data.series[i].name} `,
          make("b", {}, y === null ? "–" : words.quantity(y, data.yUnit, data.decimals))),
      ),
    ];
    this.svg.setAttribute("aria-valuenow", String(this.value));
    if (!shown) return;
    this.reading?.replaceChildren(...parts);
    this.svg.setAttribute("aria-valuetext", parts.map((part) => part.textContent).join(", "));
  }

  /**
   * @param {number} x
   * @param {number} y
   * @returns {[number, number]} in the picture
   */
  place(x, y) {
    const [left, top, width, height] = this.data.box;
    const [x0, x1] = this.data.xRange;
    const [y0, y1] = this.data.yRange;
    return [left + ((x - x0) / (x1 - x0)) * width, top + height - ((y - y0) / (y1 - y0)) * height];
  }
}

/**
 * Straight between known values.
 * @param {number[]} t rising
 * @param {(number | null)[]} values
 * @param {number} at
 * @returns {number | null}
 */
export function between(t, values, at) {
  const above = t.findIndex((value) => value >= at);
  const j = above < 0 ? t.length - 1 : Math.max(above, 1);
  const [a, b] = [values[j - 1], values[j]];
  if (a === null || b === null) return null;
  const share = Math.min(Math.max((at - t[j - 1]) / (t[j] - t[j - 1]), 0), 1);
  return a + share * (b - a);
}

/**
 * Bring the plots of the page to life.
 * @param {PlotData[]} plots
 * @param {import("./words.js").Words} words
 * @param {(motion: string, value: number) => void} moved
 * @returns {Curve[]}
 */
export function liveCurves(plots, words, moved) {
  return plots.flatMap((data) => {
    const svg = document.querySelector(`svg[data-plot="${CSS.escape(data.key)}"]`);
    return svg === null ? [] : [new Curve(data, /** @type {any} */ (svg), words, moved)];
  });
}
