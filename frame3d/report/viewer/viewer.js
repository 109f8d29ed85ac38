// Viewer: the bike in three dimensions, for the report page and the live workspace.

import { Checks } from "./checks.js";
import { Events } from "./events.js";
import { Eye } from "./eye.js";
import { commandsOf, helpOf, onKeys } from "./keys.js";
import { Labels } from "./labels.js";
import { onGround } from "./level.js";
import { Measure } from "./measure.js";
import { Model } from "./model.js";
import { Picker, onClick } from "./pick.js";
import { Section } from "./section.js";
import { Shades } from "./shade.js";
import { Stage } from "./stage.js";
import { dress } from "./style.js";
import { Texts } from "./texts.js";
import { THEMES } from "./theme.js";
import { adapt } from "./three.js";
import { VIEWS } from "./views.js";

/**
 * @typedef {object} Input
 * @property {any} three the bundle, as `import()` gives it, or what `adapt` makes of it
 * @property {ArrayBuffer} glb
 * @property {import("./model.js").SceneData} scene
 * @property {any} texts the file of texts, or its section "viewer"
 * @property {"light" | "dark"} [theme]
 * @property {import("./views.js").View} [view]
 * @property {"always" | "focus"} [wheel] whether the wheel zooms only once the canvas has been
 *   clicked, so that a page can be scrolled past it (the default), or always
 * @property {boolean} [still] whether to do without moves; as the device asks where left out
 */

/**
 * Make a viewer that fills an element.
 *
 * Events, by `viewer.on(name, function)`:
 * - `pick` {name, title, facts} or null: a part was clicked, or nothing
 * - `select` name or null
 * - `pose` the pose
 * - `check` {id, gap, from, ok, points} or null: the chosen check as the bike stands
 * - `measure` {parts, kinds, distance, dx, dy, dz, points} or null
 * - `section` {axis, at, flip} or null; `view` name; `projection` name; `frame` after every drawing
 *
 * @param {HTMLElement} element
 * @param {Input} input
 * @returns {Promise<Viewer>} once the first picture stands
 */
export async function createViewer(element, input) {
  const kit = adapt(input.three);
  const shades = new Shades(kit);
  const model = await Model.read(kit, input.glb, input.scene, shades);
  const viewer = new Viewer(kit, element, model, shades, input);
  await viewer.drawn();
  return viewer;
}

export class Viewer {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {HTMLElement} element
   * @param {Model} model
   * @param {Shades} shades
   * @param {Input} input
   */
  constructor(kit, element, model, shades, input) {
    const calm = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
    this.kit = kit;
    this.element = element;
    this.shades = shades;
    this.texts = new Texts(input.texts);
    this.events = new Events();
    this.undress = dress(document);
    element.classList.add("f3d");
    this.stage = new Stage(kit, element);
    this.eye = new Eye(kit, this.stage, input.still ?? calm);
    this.labels = new Labels(element);
    this.section_ = new Section(kit, this.stage);
    this.picker = new Picker(kit, this.stage, this.eye, this.section_);
    this.measure_ = new Measure(kit, this.stage, this.eye, this.labels, this.texts);
    this.checks = new Checks(kit, this.eye, this.labels, this.texts, this.stage.bike);
    this.name = this.labels.add("accent", 22);

    /** @type {Set<string>} */
    this.hidden = new Set();
    /** @type {Set<string> | null} */
    this.only = null;
    /** @type {{name: string, at: import("three").Vector3 | null} | null} at: in the part's place */
    this.chosen = null;
    /** @type {import("./pose.js").Pose} */
    this.pose_ = {};
    this.levelled = false;
    this.theme_ = THEMES[input.theme ?? "light"];
    /** @type {Model | null} */
    this.ghost = null;
    this.revision = 0;
    this.journey = 0;
    this.model = model;
    this.stage.bike.add(model.object);

    const commands = commandsOf(this);
    this.help_ = helpOf(commands, this.texts);
    element.append(this.help_);
    onKeys(this.stage.canvas, commands);
    this.listen(input.wheel ?? "focus");
    this.theme(input.theme ?? "light");
    this.setPose({});
    this.stage.ground.place(this.whole());
    this.stage.resize();
    this.view(input.view ?? "iso", true);
  }

  /** @param {"always" | "focus"} wheel */
  listen(wheel) {
    const { canvas } = this.stage;
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", this.texts.say("canvas"));
    onClick(canvas, (event) => this.clicked(event));
    canvas.addEventListener("pointerdown", () => canvas.focus({ preventScroll: true }));
    this.element.addEventListener(
      "wheel",
      (event) => {
        const meant = wheel === "always" || event.ctrlKey || document.activeElement === canvas;
        if (!meant) event.stopPropagation();
      },
      { capture: true, passive: true },
    );
    this.stage.before.push(() => {
      this.measure_.settle();
      this.checks.settle();
    });
    this.stage.after.push(() => {
      this.labels.lay(this.eye.camera, this.stage.width, this.stage.height);
      this.events.emit("frame");
    });
  }

  /**
   * @param {string} name of an event
   * @param {import("./events.js").Listener} listener
   * @returns {() => void} stops it
   */
  on(name, listener) {
    return this.events.on(name, listener);
  }

  /** Resolves after the next drawing. @returns {Promise<void>} */
  drawn() {
    return new Promise((resolve) => {
      const stop = this.on("frame", () => {
        stop();
        resolve();
      });
      this.stage.request();
    });
  }

  // Poses

  /** Where everything stands: motion -> mm or degrees. */
  pose() {
    return { ...this.pose_ };
  }

  /**
   * Move what is named; the rest stays.
   * @param {import("./pose.js").Pose} pose
   */
  setPose(pose) {
    this.journey += 1;
    this.stand({ ...this.pose_, ...pose });
  }

  /** @param {import("./pose.js").Pose} pose */
  stand(pose) {
    for (const { name, low, high } of this.model.data.motions ?? []) {
      pose[name] = Math.min(Math.max(Number(pose[name] ?? 0) || 0, low), high);
    }
    this.pose_ = pose;
    for (const model of [this.model, this.ghost]) model?.setPose(pose);
    this.settle();
    this.events.emit("pose", this.pose());
  }

  /**
   * Go to a pose over a moment.
   * @param {import("./pose.js").Pose} pose
   * @returns {Promise<void>} resolves there, or where something else moves the bike
   */
  go(pose) {
    const from = this.pose();
    const to = { ...from, ...pose };
    const journey = (this.journey += 1);
    return new Promise((resolve) => {
      this.stage.move(this.eye.still ? 0 : 420, (share) => {
        if (journey !== this.journey) return resolve();
        this.stand(
          Object.fromEntries(
            Object.entries(to).map(([motion, end]) => {
              const start = from[motion] ?? 0;
              return [motion, share === 1 ? end : start + share * (end - start)];
            }),
          ),
        );
        if (share === 1) resolve();
      });
    });
  }

  /**
   * Whether the bike is pitched so that its wheels stay on the ground; else the frame stands still.
   * @param {boolean} on
   */
  level(on) {
    this.levelled = on;
    this.settle();
  }

  /**
   * The motion of a part from where it is drawn to where it stands, read from the picture's scene:
   * 16 numbers row by row, in the frame's axes [mm]; null where there is no such part.
   * @param {string} name
   * @returns {number[] | null}
   */
  world(name) {
    const part = this.model.parts.get(name);
    if (part === undefined) return null;
    this.stage.scene.updateMatrixWorld();
    const own = this.stage.bike.matrixWorld.clone().invert().multiply(part.object.matrixWorld);
    return own.transpose().toArray();
  }

  // What is shown

  /**
   * @param {string} name of a part, or of a group of parts
   * @param {boolean} visible
   */
  show(name, visible) {
    for (const part of this.model.all) {
      if (part.name !== name && part.data.group !== name) continue;
      if (visible) this.hidden.delete(part.name);
      else this.hidden.add(part.name);
    }
    this.settle();
  }

  /**
   * Show only these parts; null for all again.
   * @param {string[] | null} names
   */
  isolate(names) {
    this.only = names === null ? null : new Set(names);
    this.settle();
  }

  /** Names of the parts that are shown. */
  visible() {
    return this.model.visible.map((part) => part.name);
  }

  /** @param {string | null} name */
  select(name) {
    this.choose(name, null);
  }

  /**
   * @param {string | null} name
   * @param {import("three").Vector3 | null} point in the world
   */
  choose(name, point) {
    const part = name === null ? undefined : this.model.parts.get(name);
    const at = point === null ? null : part?.object.worldToLocal(point.clone()) ?? null;
    this.chosen = part === undefined ? null : { name: part.name, at };
    this.settle();
    this.events.emit("select", this.chosen?.name ?? null);
  }

  /** @param {PointerEvent} event */
  clicked(event) {
    const hit = this.picker.at(this.model, event);
    if (this.measure_.mode !== null) {
      if (hit === null) return;
      this.measure_.take(hit);
      this.settle();
      this.events.emit("measure", this.measure_.result);
      return;
    }
    this.choose(hit?.part.name ?? null, hit?.point ?? null);
    this.events.emit("pick", hit?.part.data ?? null);
  }

  /** Let go of what is chosen, measured or shown of checks. */
  nothing() {
    this.help_.hidden = true;
    this.measure_.clear();
    this.checks.chosen = null;
    this.choose(null, null);
    this.events.emit("measure", null);
    this.events.emit("check", null);
  }

  /** Show or hide what the keys do. */
  help() {
    this.help_.hidden = !this.help_.hidden;
  }

  /** @param {boolean} on whether the model is one that no longer holds */
  dim(on) {
    this.element.toggleAttribute("data-dim", on);
  }

  // Looking

  /**
   * @param {import("./views.js").View} view
   * @param {boolean} [at_once]
   */
  view(view, at_once = false) {
    if (!Object.hasOwn(VIEWS, view)) throw new Error(`no view is called ${view}`);
    this.eye.look(this.points(), this.eye.direction(view), { at_once });
    this.events.emit("view", view);
  }

  /** Let what is shown fill the picture. */
  fit() {
    this.eye.look(this.points());
  }

  /** @param {"orthographic" | "perspective"} projection */
  projection(projection) {
    this.eye.project(projection);
    this.events.emit("projection", this.eye.projection);
  }

  /** @param {"light" | "dark"} theme */
  theme(theme) {
    this.theme_ = THEMES[theme];
    for (const [key, value] of Object.entries(this.theme_)) {
      this.element.style.setProperty(`--f3d-${key}`, String(value));
    }
    this.shades.theme(this.theme_);
    this.stage.theme(this.theme_);
    this.section_.paint(this.theme_);
    this.settle();
  }

  /** The picture as it stands, as a PNG in a data URL. */
  picture() {
    return this.stage.picture();
  }

  // Tools

  /**
   * Cut the bike open, or make it whole again.
   * @param {import("./section.js").SectionPlace | null} place
   */
  section(place) {
    this.section_.set(place, this.model);
    if (this.ghost !== null) this.section_.clip(this.ghost);
    this.stage.request();
    this.events.emit("section", place);
  }

  /**
   * Between what a section can lie on an axis [mm].
   * @param {"x" | "y" | "z"} axis
   * @returns {[number, number]}
   */
  sectionRange(axis) {
    const box = this.model.box(this.model.all);
    return [box.min[axis], box.max[axis]];
  }

  /**
   * What a click measures from, null for nothing. A mode may change between the two clicks. With the
   * names of two parts, measure between those at once.
   * @param {import("./measure.js").MeasureMode | null} mode
   * @param {[string, string]} [between]
   * @returns {import("./measure.js").Measured | null}
   */
  measure(mode, between) {
    this.measure_.set(mode);
    this.element.toggleAttribute("data-measure", mode !== null);
    if (between !== undefined) {
      const parts = between.flatMap((name) => this.model.parts.get(name) ?? []);
      if (parts.length === 2) this.measure_.between(parts);
    }
    this.settle();
    this.events.emit("measure", this.measure_.result);
    return this.measure_.result;
  }

  /**
   * Fly to a check in the pose where it is tightest, or let go of it.
   * @param {string | null} id
   * @returns {Promise<void>} resolves there
   */
  async showCheck(id) {
    const check = this.checks.find(this.model, id);
    this.checks.chosen = check?.id ?? null;
    this.chosen = null;
    for (const name of check?.between ?? []) {
      this.hidden.delete(name);
      if (this.only !== null && this.model.parts.has(name)) this.only.add(name);
    }
    this.settle();
    if (check === undefined) {
      this.events.emit("check", null);
      return;
    }
    if (check.points !== null) this.approach(check);
    await this.go({ rear: 0, fork: 0, steer: 0, ...check.at });
    await this.drawn();
  }

  /**
   * Which other checks to show where they hold as the bike stands: those that fall short, or all.
   * @param {"all" | "short" | null} which
   */
  showChecks(which) {
    this.checks.others = which;
    this.settle();
  }

  /**
   * Look at a check's points from where nothing of its two parts covers them.
   * @param {import("./gaps.js").CheckData} check
   */
  approach(check) {
    const { Vector3 } = this.kit.THREE;
    const [p, q] = (check.points ?? []).map((at) => new Vector3(...at));
    const [middle, line] = [p.clone().add(q).multiplyScalar(0.5), q.clone().sub(p)];
    const length = line.length();
    if (length > 0) line.divideScalar(length);
    const parts = (check.between ?? []).flatMap((name) => this.model.parts.get(name) ?? []);
    const stood = this.pose();
    this.model.setPose({ ...stood, rear: 0, fork: 0, steer: 0, ...check.at });
    const now = this.eye.camera.position.clone().sub(this.eye.target).normalize();
    const rated = directions(this.kit.THREE).map((way) => {
      const square = Math.sqrt(1 - way.dot(line) ** 2);
      const free = this.picker.covered(parts, middle, way) ? 0 : 1;
      return { way, worth: square + free + 0.25 * way.dot(now) + 0.1 * way.z };
    });
    this.model.setPose(stood);
    const best = rated.reduce((a, b) => (b.worth > a.worth ? b : a));
    this.eye.look([p, q], best.way, { least: Math.max(8 * length, 220), margin: 0.3 });
  }

  // The model

  /**
   * Show another model in place of the one that stands; camera, pose and choice stay.
   * @param {object} change
   * @param {ArrayBuffer} [change.glb]
   * @param {import("./model.js").SceneData} [change.scene]
   * @param {{glb: ArrayBuffer, scene: import("./model.js").SceneData} | null} [change.ghost] another
   *   version to lay over it, null for none, the one that is there where left out
   */
  async update({ glb, scene, ghost }) {
    const revision = (this.revision += 1);
    const model = glb && scene ? await Model.read(this.kit, glb, scene, this.shades) : null;
    const over = ghost
      ? await Model.read(this.kit, ghost.glb, ghost.scene, this.shades)
      : null;
    if (revision !== this.revision) {
      model?.dispose();
      over?.dispose();
      return;
    }
    if (ghost !== undefined) {
      this.ghost?.dispose();
      this.ghost = over;
      if (over !== null) this.stage.bike.add(over.object);
    }
    if (model !== null) this.replace(model);
    for (const part of this.ghost?.all ?? []) part.show(this.theme_, "ghost");
    this.section(this.section_.place);
    this.stage.ground.place(this.whole());
    this.stand(this.pose());
    await this.drawn();
  }

  /** @param {Model} model */
  replace(model) {
    this.section_.clear();
    this.measure_.move(model);
    this.model.dispose();
    this.model = model;
    this.stage.bike.add(model.object);
    if (this.chosen !== null && !model.parts.has(this.chosen.name)) this.chosen = null;
    if (this.checks.find(model, this.checks.chosen) === undefined) this.checks.chosen = null;
  }

  /** Bring everything that follows from pose, choice and theme up to date. */
  settle() {
    const check = this.checks.find(this.model, this.checks.chosen);
    const measured = this.measure_.features
      .filter(({ kind }) => kind === "part")
      .map(({ part }) => part.name);
    for (const part of this.model.all) {
      const { name } = part;
      part.object.visible = !this.hidden.has(name) && (this.only === null || this.only.has(name));
      const chosen = name === this.chosen?.name || measured.includes(name);
      const aside = check !== undefined && check.points !== null && !check.between?.includes(name);
      part.show(this.theme_, chosen ? "chosen" : aside ? "faded" : "plain");
    }
    for (const part of this.ghost?.all ?? []) part.show(this.theme_);
    const bike = this.stage.bike;
    bike.matrixAutoUpdate = false;
    bike.matrix.copy(this.levelled ? onGround(this.model) : new this.kit.THREE.Matrix4());
    bike.updateMatrixWorld(true);
    this.section_.refresh(this.model);
    this.measure_.refresh(this.theme_);
    this.told(this.checks.refresh(this.model, this.theme_));
    this.named();
    this.stage.ground.stale = true;
    this.stage.request();
  }

  /** @param {import("./gaps.js").Shown | null} shown */
  told(shown) {
    if (shown !== null) this.events.emit("check", shown);
  }

  /** Put the chosen part's name beside it. */
  named() {
    const part = this.chosen === null ? undefined : this.model.parts.get(this.chosen.name);
    this.name.element.hidden = part === undefined || !part.object.visible;
    if (part === undefined) return;
    const middle = this.chosen?.at?.clone().applyMatrix4(part.object.matrix) ??
      part.box().getCenter(new this.kit.THREE.Vector3());
    this.name.at = middle.applyMatrix4(this.stage.bike.matrixWorld);
    this.labels.write(this.name, part.data.title);
  }

  /** Points of what is shown, in the world. */
  points() {
    const shown = this.model.visible.length > 0 ? this.model.visible : this.model.all;
    return shown.flatMap((part) => part.outline(this.stage.bike.matrixWorld));
  }

  /** What the whole bike takes up as drawn [mm]. */
  whole() {
    const box = this.model.box(this.model.all);
    if (box.isEmpty()) box.expandByPoint(box.min.set(0, 0, 0)).expandByScalar(1);
    this.eye.reach = box.getSize(box.min.clone()).length() / 2;
    return box;
  }

  dispose() {
    this.revision += 1;
    this.checks.clear();
    this.measure_.dispose();
    this.section_.dispose();
    this.labels.dispose();
    this.help_.remove();
    this.eye.dispose();
    this.model.dispose();
    this.ghost?.dispose();
    this.shades.clear();
    this.stage.dispose();
    this.undress();
    this.element.classList.remove("f3d");
    this.events.clear();
  }
}

/**
 * Ways to look from: sides, edges and corners of a cube.
 * @param {import("three")} THREE
 */
function directions(THREE) {
  const steps = [-1, 0, 1];
  return steps.flatMap((x) =>
    steps.flatMap((y) =>
      steps
        .filter((z) => x !== 0 || y !== 0 || z !== 0)
        .map((z) => new THREE.Vector3(x || 1e-3, y, z).normalize()),
    ),
  );
}
