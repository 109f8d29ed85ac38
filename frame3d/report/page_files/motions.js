// Motions: a slider for everything that moves, and the positions that matter.

import { button, find, make } from "./dom.js";

/** @typedef {import("../viewer/viewer.js").Viewer} Viewer */
/** @typedef {import("./words.js").Words} Words */

const MOMENT = 420; // [ms]
const SLIDERS = ["rear", "fork", "steer", "crank", "slide", "insert"];
const FINE = ["slide"]; // told to a tenth of its unit

export class Motions {
  /**
   * @param {any} page the page's document
   * @param {Words} words
   */
  constructor(page, words) {
    this.words = words;
    this.poses = page.poses;
    /** @type {Viewer | null} */
    this.viewer = null;
    this.journey = 0;
    /** Takes it off the viewer. */
    this.part = () => {};
    /** Drawn is what the file says where the model is drawn: values are told as the file counts.
     * @type {Map<string, {input: HTMLInputElement, output: HTMLElement, unit: string, drawn: number}>} */
    this.sliders = new Map();
    /** @type {Map<string, HTMLElement>} */
    this.buttons = new Map();
    const box = find(".motions");
    const poses = make("div", { class: "poses" });
    for (const { key, title, at } of this.poses) {
      const made = button(title, () => this.go(at), { "aria-pressed": "false" });
      this.buttons.set(key, made);
      poses.append(made);
    }
    if (this.poses.length > 0) box.append(poses);
    for (const name of SLIDERS) {
      const motion = page.scene.motions.find((each) => each.name === name);
      if (motion !== undefined) box.append(this.slider(motion));
    }
    if (this.sliders.size > 0) box.append(this.ground());
    box.hidden = box.childElementCount === 0;
  }

  /** @param {any} motion */
  slider({ name, low, high, drawn, unit }) {
    const input = make("input", {
      type: "range", min: low, max: high, step: "any", value: 0, id: `motion-${name}`,
    });
    const output = make("output", { for: input.id });
    input.addEventListener("input", () => {
      this.journey += 1;
      this.viewer?.setPose({ [name]: Number(input.value) });
    });
    input.addEventListener("keydown", (event) => {
      // Steps of a whole unit, ten with the page keys: `step` is free so that poses are met exactly.
      const steps = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 };
      const step = steps[event.key];
      if (step === undefined) return;
      event.preventDefault();
      this.viewer?.setPose({ [name]: Number(input.value) + step });
    });
    this.sliders.set(name, { input, output, unit, drawn });
    return make("label", {}, make("span", {}, this.words.say(`motion.${name}.title`)), output, input);
  }

  /**
   * Go to a position over a moment, or at once where the device asks for no moves.
   * @param {Record<string, number>} at
   */
  go(at) {
    const { viewer } = this;
    if (viewer === null) return;
    const journey = (this.journey += 1);
    const still = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
    const [from, begin] = [viewer.pose(), performance.now()];
    const step = () => {
      if (journey !== this.journey) return;
      const share = still ? 1 : Math.min((performance.now() - begin) / MOMENT, 1);
      const eased = share * share * (3 - 2 * share);
      const now = Object.entries(at).map(([name, end]) => {
        const start = from[name] ?? 0;
        return [name, share === 1 ? end : start + eased * (end - start)];
      });
      viewer.setPose(Object.fromEntries(now));
      if (share < 1) requestAnimationFrame(step);
    };
    step();
  }

  /** Whether the picture pitches so that both wheels stay on the ground. */
  ground() {
    const box = make("input", { type: "checkbox", id: "level", checked: true });
    box.addEventListener("change", () => this.viewer?.level(box.checked));
    return make("label", { class: "check", for: "level" }, box,
      make("span", {}, this.words.say("pose.level")));
  }

  /**
   * @param {Viewer} viewer
   * @param {boolean} [level] whether the wheels stay on the ground
   */
  join(viewer, level = true) {
    this.viewer = viewer;
    if (this.sliders.size > 0) {
      find("#level").checked = level;
      viewer.level(level);
    }
    this.part = viewer.on("pose", (pose) => this.stands(pose));
    this.stands(viewer.pose());
  }

  /** Follow the viewer no longer. */
  leave() {
    this.part();
  }

  /** @param {Record<string, number>} pose */
  stands(pose) {
    for (const [name, { input, output, unit, drawn }] of this.sliders) {
      const value = pose[name] ?? 0;
      input.value = String(value);
      output.textContent = this.words.quantity(drawn + value, unit, FINE.includes(name) ? 1 : 0);
      input.setAttribute("aria-valuetext", output.textContent);
    }
    for (const { key, at } of this.poses) {
      const there = Object.entries(at).every(
        ([name, value]) => Math.abs((pose[name] ?? 0) - Number(value)) < 0.05,
      );
      this.buttons.get(key)?.setAttribute("aria-pressed", String(there));
    }
  }
}
