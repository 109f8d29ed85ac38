// Stage: the model in the viewer; the newest picture wins, and the last good one stays.

import { find, make } from "../page/dom.js";
import { Motions } from "../page/motions.js";
import { Tools } from "../page/tools.js";

/** @typedef {import("../viewer/viewer.js").Viewer} Viewer */
/** @typedef {import("../page/words.js").Words} Words */

/**
 * @typedef {object} Picture numbers of what the server holds for it
 * @property {number} number of model and scene
 * @property {number | null} checks
 * @property {boolean} exact
 * @property {number | null} ghost another version to lay over it
 */

export class Stage {
  /**
   * @param {Words} words
   * @param {any} texts
   */
  constructor(words, texts) {
    this.words = words;
    this.texts = texts;
    /** @type {Viewer | null} */
    this.viewer = null;
    /** @type {any[]} */
    this.poses = [];
    /** @type {Picture | null} */
    this.wanted = null;
    /** @type {Picture | null} */
    this.shown = null;
    /** @type {any[]} of what is shown */
    this.checks = [];
    /** @type {any} how the frame of the bike in view bends; null where that is not known yet */
    this.bending = null;
    /** @type {(viewer: Viewer) => void} called once there is a viewer */
    this.opened = () => {};
    /** Called whenever a picture is shown, or could not be. */
    this.showed = () => {};
    this.busy = false;
    this.dimmed = false;
    this.motions = "";
    /** @type {Motions | null} */
    this.mover = null;
    this.element = find("#f3d-view");
    this.waiting = find("#f3d-waiting");
    this.card = find("#f3d-card");
    /** @type {Promise<[any, any]>} */
    this.modules = Promise.all([import("/f3d/three.js"), import("../viewer/viewer.js")]);
  }

  /** @param {Picture} picture to show; the newest wins */
  take(picture) {
    this.wanted = picture;
    if (!this.busy) this.work();
  }

  /** @param {any} bending of the newest picture, see `viewer/bending.js` */
  bend(bending) {
    this.bending = bending;
    if (!this.busy) this.viewer?.bending.take(bending);
  }

  async work() {
    while (this.wanted !== null) {
      this.busy = true;
      const picture = this.wanted;
      this.wanted = null;
      try {
        await this.show(picture);
      } catch (problem) {
        this.failed(problem);
      }
      this.busy = this.wanted !== null;
      this.showed();
    }
  }

  /** @param {Picture} picture */
  async show(picture) {
    const old = this.shown;
    const other = old?.number !== picture.number;
    const ghost = (old?.ghost ?? null) !== picture.ghost;
    const judged = (old?.checks ?? null) !== picture.checks;
    const [model, over, checks] = await Promise.all([
      other ? fetched(picture.number) : null,
      ghost && picture.ghost !== null ? fetched(picture.ghost) : null,
      picture.checks === null ? [] : judged ? (await held(picture.checks)).json() : this.checks,
    ]);
    this.checks = checks;
    const before = this.checked();
    if (this.viewer === null && model !== null) {
      if (model.scene.parts.length === 0) return this.nothing(picture);
      await this.open(model, checks);
    }
    const { viewer } = this;
    if (viewer === null) return;
    if (model !== null || ghost) {
      await viewer.update({
        ...(model === null ? {} : { glb: model.glb, scene: this.scene(model, checks) }),
        ...(ghost ? { ghost: over } : {}),
      });
    }
    if (model !== null) this.move(model.scene.motions);
    viewer.model.data.checks = checks;
    this.rechoose(before, judged && model === null);
    this.shown = picture;
    this.element.dataset.glb = String(picture.number);
    this.element.dataset.exact = String(picture.exact);
    this.element.dataset.ghost = String(picture.ghost !== null);
    this.element.dataset.checks = String(checks.length);
    this.element.dispatchEvent(new CustomEvent("shown"));
  }

  /**
   * @param {any} model
   * @param {any[]} checks
   */
  async open(model, checks) {
    const [three, { createViewer }] = await this.modules;
    const dark = window.matchMedia("(prefers-color-scheme: dark)");
    const theme = () => (dark.matches ? "dark" : "light");
    const viewer = await createViewer(this.element, {
      three, glb: model.glb, scene: this.scene(model, checks), texts: this.texts, theme: theme(),
      wheel: "always",
    });
    this.viewer = viewer;
    this.element.viewer = viewer;
    dark.addEventListener("change", () => viewer.theme(theme()));
    viewer.on("pick", (part) => this.tellOf(part));
    viewer.on("select", (name) => {
      if (name === null) this.card.hidden = true;
    });
    viewer.showChecks("short");
    viewer.dim(this.dimmed);
    new Tools(viewer, this.words);
    find("#f3d-tools").hidden = false;
    this.waiting.hidden = true;
    this.opened(viewer);
  }

  /**
   * @param {any} model
   * @param {any[]} checks
   */
  scene(model, checks) {
    return { ...model.scene, checks, bending: this.bending };
  }

  /** @param {any[]} motions of the scene */
  move(motions) {
    const ranges = motions.map(({ name, low, high, drawn, unit }) => [name, low, high, drawn, unit]);
    const now = JSON.stringify([ranges, this.poses], hundredths);
    if (this.viewer === null || now === this.motions) return;
    this.motions = now;
    const level = document.querySelector("#level")?.checked ?? true;
    find(".motions").replaceChildren();
    this.mover?.leave();
    this.mover = new Motions({ poses: this.poses, scene: { motions } }, this.words);
    this.mover.join(this.viewer, level);
  }

  /** @param {any[]} poses that matter, by name */
  pose(poses) {
    this.poses = poses;
    if (this.viewer !== null) this.move(this.viewer.model.data.motions ?? []);
  }

  /** @param {boolean} on whether the bike in view is an older one than the text */
  dim(on) {
    this.dimmed = on;
    this.viewer?.dim(on);
    find("#f3d-dimmed").hidden = !on || this.viewer === null;
    if (this.shown === null && this.element.dataset.failed === undefined) {
      this.waiting.textContent = this.words.say(on ? "live.no_bike" : "live.waiting");
    }
    this.element.dataset.older = String(on);
  }

  /** Which check is shown, by what it is about. */
  checked() {
    const { viewer } = this;
    const id = viewer?.checks.chosen ?? null;
    const check = viewer?.model.data.checks?.find((each) => each.id === id);
    return check === undefined ? null : about(check);
  }

  /**
   * Checks are sorted anew by their margins: keep to the same one.
   * @param {string | null} before
   * @param {boolean} stale whether what is drawn shows other checks
   */
  rechoose(before, stale) {
    const { viewer } = this;
    if (viewer === null) return;
    const same = viewer.model.data.checks?.find((each) => about(each) === before)?.id ?? null;
    if (!stale && same === viewer.checks.chosen) return;
    viewer.checks.chosen = same;
    viewer.settle();
  }

  /** @param {any} part that was picked, or null */
  tellOf(part) {
    this.card.hidden = part === null;
    if (part === null) return;
    const facts = part.facts.flatMap(([name, value]) => [make("dt", {}, name), make("dd", {}, value)]);
    this.card.replaceChildren(make("h3", {}, part.title), make("dl", {}, ...facts));
  }

  /** @param {Picture} picture of a bike that has nothing to show */
  nothing(picture) {
    this.shown = picture;
    this.waiting.textContent = this.words.say("live.nothing");
    this.waiting.classList.add("below");
    this.element.dataset.glb = String(picture.number);
  }

  /** @param {any} problem */
  failed(problem) {
    const why = problem instanceof Error ? problem.message : String(problem);
    this.element.dataset.failed = why;
    if (this.viewer !== null) return console.warn(why);
    this.waiting.hidden = false;
    this.waiting.textContent = this.words.say("live.no_viewer", { why });
  }
}

/**
 * For JSON: numbers to a hundredth, less than which no slider shows.
 * @param {string} _key
 * @param {any} value
 */
function hundredths(_key, value) {
  return typeof value === "number" ? Math.round(100 * value) / 100 : value;
}

/** @param {any} check */
function about(check) {
  return [check.name, ...(check.between ?? [])].join(" ");
}

/** @param {number} number of something on the server's shelf */
async function held(number) {
  const answer = await fetch(`/f3d/held/${number}`);
  if (!answer.ok) throw new Error(`${answer.status}`);
  return answer;
}

/**
 * A model and its scene: the scene's length, the scene, the model.
 * @param {number} number
 */
async function fetched(number) {
  const data = await (await held(number)).arrayBuffer();
  const end = 4 + new DataView(data).getUint32(0, true);
  const scene = JSON.parse(new TextDecoder().decode(new Uint8Array(data, 4, end - 4)));
  return { scene, glb: data.slice(end) };
}
