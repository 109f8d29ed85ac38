// Viewer: the bike in three dimensions, for the report page and the live workspace.

import { approach } from "./approach.js";
import { Bending } from "./bending.js";
import { Checks } from "./checks.js";
import { Events } from "./events.js";
import { Eye } from "./eye.js";
import { onClick, sparesWheel } from "./hands.js";
import { commandsOf, helpOf, onKeys } from "./keys.js";
import { Labels } from "./labels.js";
import { ghostPlace, onGround, standing } from "./level.js";
import { Looks } from "./looks.js";
import { Measure } from "./measure.js";
import { Model } from "./model.js";
import { Picker } from "./pick.js";
import { PieceStore } from "./pieces.js";
import { Rider } from "./rider.js";
import { Section } from "./section.js";
import { Shades } from "./shade.js";
import { Stage } from "./stage.js";
import { Stance } from "./stance.js";
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
 * - `check` {id, gap, from, ok, points} or null: the chosen check, whenever it or the pose changes
 * - `measure` {parts, kinds, distance, dx, dy, dz, points} or null, likewise
 * - `bending` {shown, said, legend, cases}: which load case the frame is shown under, or null
 * - `rider` {shown, postures}: which posture of the rider is shown, or null, and all that there are
 * - `section` {axis, at, flip} or null; `view` name; `projection` name; `outlines` whether shown;
 *   `frame` after every drawing
 *
 * @param {HTMLElement} element
 * @param {Input} input
 * @returns {Promise<Viewer>} once the first picture stands
 */
export async function createViewer(element, input) {
  const kit = adapt(input.three);
  const shades = new Shades(kit);
  const store = new PieceStore();
  const model = await Model.read(kit, input.glb, input.scene, shades, store);
  const viewer = new Viewer(kit, element, model, shades, store, input);
  await viewer.drawn();
  return viewer;
}

export class Viewer {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {HTMLElement} element
   * @param {Model} model
   * @param {Shades} shades
   * @param {PieceStore} store
   * @param {Input} input
   */
  constructor(kit, element, model, shades, store, input) {
    const calm = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
    this.kit = kit;
    this.element = element;
    this.shades = shades;
    this.store = store;
    /** Whether all parts show the outlines that gaps are measured on. */
    this.outlining = false;
    this.texts = new Texts(input.texts);
    this.events = new Events();
    this.undo = [dress(document)];
    element.classList.add("f3d");
    this.stage = new Stage(kit, element);
    this.eye = new Eye(kit, this.stage, input.still ?? calm);
    this.labels = new Labels(element);
    this.looks = new Looks();
    this.stance = new Stance(this.stage, this.eye.still, () => this.moved());
    this.stance.motions = model.data.motions ?? [];
    this.cutter = new Section(kit, this.stage);
    this.picker = new Picker(kit, this.stage, this.eye, this.cutter);
    this.ruler = new Measure(kit, this.stage, this.eye, this.labels, this.texts);
    this.checks = new Checks(kit, this.eye, this.labels, this.texts, this.stage.bike);
    this.name = this.labels.add("accent", 22);
    this.rider = new Rider(kit, this.stage.bike, shades, () => this.ridden());
    this.rider.take(model.data.rider);

    /** @type {{name: string, at: import("three").Vector3 | null} | null} at: in the part's place */
    this.chosen = null;
    /** The pose that was told of last, as JSON. */
    this.told = "";
    this.levelled = false;
    this.colours = THEMES[input.theme ?? "light"];
    /** @type {Model | null} */
    this.ghost = null;
    this.revision = 0;
    this.stale = true;
    this.model = model;
    this.stage.bike.matrixAutoUpdate = false;
    this.stage.bike.add(model.object);
    /** Makes the picture show again what it shows, for another size of it. */
    this.frame = () => this.fit(true);

    this.bending = new Bending(this);
    this.listen(input.wheel ?? "focus");
    this.theme(input.theme ?? "light");
    this.stage.ground.place(this.whole());
    this.setPose({});
    this.stage.resize();
    this.view(input.view ?? "iso", true);
  }

  /** @param {"always" | "focus"} wheel */
  listen(wheel) {
    const { canvas } = this.stage;
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "application");
    canvas.setAttribute("aria-label", this.texts.say("canvas"));
    const commands = commandsOf(this);
    this.helping = helpOf(commands, this.texts);
    this.element.append(this.helping);
    onKeys(canvas, commands);
    onClick(canvas, (event) => this.clicked(event));
    if (wheel === "focus") this.undo.push(sparesWheel(this.element, canvas));
    this.stage.before.push(() => {
      if (this.stale) this.freshen();
      this.ruler.settle();
      this.checks.settle();
    });
    this.stage.after.push(() => {
      this.labels.lay(this.eye.camera, this.stage.width, this.stage.height);
      this.events.emit("frame");
    });
    this.stage.resized.push(() => {
      if (this.eye.kept) this.frame();
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
    return { ...this.stance.pose };
  }

  /**
   * Move what is named; the rest stays.
   * @param {import("./pose.js").Pose} pose
   */
  setPose(pose) {
    this.stance.set(pose);
  }

  /** The pose is a new one. */
  moved() {
    for (const model of [this.model, this.ghost]) model?.setPose(this.stance.pose);
    this.settle();
    const told = JSON.stringify(this.stance.pose);
    if (told === this.told) return;
    this.told = told;
    this.events.emit("pose", this.pose());
  }

  /**
   * Whether the bike is pitched so that its wheels stay on the ground; else the frame stands still.
   * @param {boolean} on
   */
  level(on) {
    if (on === this.levelled) return;
    this.levelled = on;
    this.settle();
  }

  /**
   * How the bike stands on its wheels in its pose, whether the picture shows it so or not.
   * @returns {import("./level.js").Standing | null} null where there are not two wheels
   */
  standing() {
    return standing(this.model);
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
    this.looks.show(this.model, name, visible);
    this.settle();
  }

  /**
   * Show only these parts; null for all again.
   * @param {string[] | null} names
   */
  isolate(names) {
    this.looks.isolate(names);
    this.settle();
  }

  /**
   * Show or hide the outlines that gaps are measured on, around what parts look like.
   * @param {boolean} [on] the other way round where left out
   */
  outlines(on) {
    this.outlining = on ?? !this.outlining;
    this.settle();
    this.events.emit("outlines", this.outlining);
  }

  /** The rider is another: a picture that nobody has moved then has room for all of it. */
  ridden() {
    this.settle();
    this.events.emit("rider", this.rider.news);
    if (this.eye.kept && this.checks.chosen === null) this.fit();
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
    if (this.ruler.mode !== null) {
      if (hit !== null) this.ruler.take(hit);
      this.settle();
      return;
    }
    this.choose(hit?.part.name ?? null, hit?.point ?? null);
    this.events.emit("pick", hit?.part.data ?? null);
  }

  /** Let go of what is chosen, measured or shown of checks. */
  nothing() {
    this.help(false);
    this.bending.show(null);
    this.ruler.clear();
    this.checks.chosen = null;
    this.stance.set(this.stance.unlisted());
    this.choose(null, null);
    this.events.emit("measure", null);
    this.events.emit("check", null);
  }

  /**
   * Show or hide what the keys do.
   * @param {boolean} [on] the other way round where left out
   */
  help(on) {
    if (this.helping !== undefined) this.helping.hidden = on === undefined ? !this.helping.hidden : !on;
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
    this.fit(at_once, this.eye.direction(view));
    this.events.emit("view", view);
  }

  /**
   * Let what is shown fill the picture.
   * @param {boolean} [at_once]
   * @param {import("three").Vector3} [direction] toward the eye; as now where left out
   */
  fit(at_once = false, direction) {
    this.frame = () => this.fit(true, direction);
    this.eye.look(this.points(), direction, { at_once });
  }

  /** @param {"orthographic" | "perspective"} projection */
  projection(projection) {
    this.eye.project(projection);
    this.events.emit("projection", this.eye.projection);
  }

  /** @param {"light" | "dark"} theme */
  theme(theme) {
    this.colours = THEMES[theme];
    for (const [key, value] of Object.entries(this.colours)) {
      this.element.style.setProperty(`--f3d-${key}`, String(value));
    }
    this.shades.theme(this.colours);
    this.stage.theme(this.colours);
    this.cutter.paint(this.colours);
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
    this.cutter.set(place, this.model);
    this.rider.clear(place !== null);
    if (this.ghost !== null) this.cutter.clip(this.ghost);
    this.stage.request();
    this.events.emit("section", place);
  }

  /**
   * What a click measures from, null for nothing. A mode may change between the two clicks. With the
   * names of two parts, measure between those at once.
   * @param {import("./measure.js").MeasureMode | null} mode
   * @param {[string, string]} [between]
   * @returns {import("./measure.js").Measured | null}
   */
  measure(mode, between) {
    if (mode !== null) this.bending.show(null);
    this.ruler.set(mode);
    this.element.toggleAttribute("data-measure", mode !== null);
    const parts = (between ?? []).flatMap((name) => this.model.parts.get(name) ?? []);
    if (parts.length === 2) this.ruler.between(parts);
    this.settle();
    this.freshen();
    if (this.ruler.result === null) this.events.emit("measure", null);
    return this.ruler.result;
  }

  /**
   * Show a check in the pose where it is tightest, or let go of it. The picture stays where it is
   * unless it is asked to go near.
   * @param {string | null} id
   * @param {boolean} [near] whether to fly to its two points
   * @returns {Promise<void>} resolves there
   */
  async showCheck(id, near = false) {
    const check = this.checks.find(this.model, id);
    this.bending.show(null);
    this.checks.chosen = check?.id ?? null;
    this.chosen = null;
    this.looks.reveal(check?.between ?? []);
    this.settle();
    if (check === undefined) {
      this.stance.set(this.stance.unlisted());
      this.events.emit("check", null);
      return;
    }
    const pose = { rear: 0, fork: 0, steer: 0, ...this.stance.unlisted(), ...check.at };
    if (near) {
      this.model.setPose({ ...this.stance.pose, ...pose });
      approach(this.model, this.placed(), this.eye, this.picker, check);
      this.model.setPose(this.stance.pose);
      this.frame = () => undefined;
    }
    await this.stance.go(pose);
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
    /**
     * @param {ArrayBuffer | undefined} file
     * @param {import("./model.js").SceneData | undefined} data
     * @param {Model} [before]
     */
    const read = async (file, data, before) =>
      file === undefined || data === undefined
        ? null
        : Model.read(this.kit, file, data, this.shades, this.store, before);
    const [model, over] = [await read(glb, scene, this.model), await read(ghost?.glb, ghost?.scene)];
    if (revision !== this.revision) {
      // A later one has come first.
      model?.dispose();
      over?.dispose();
      return;
    }
    // What goes is let go of only once its successor is drawn: what both are drawn with then stays
    // compiled, which takes longer than all the rest.
    const old = [];
    if (model !== null) old.push(this.replace(model));
    if (ghost !== undefined) {
      if (this.ghost !== null) old.push(this.ghost);
      this.ghost?.object.removeFromParent();
      this.ghost = over;
      if (over !== null) {
        over.object.matrixAutoUpdate = false;
        this.stage.bike.add(over.object);
      }
    }
    this.stage.ground.place(this.whole());
    this.setPose({});
    this.section(this.cutter.place);
    this.stage.ground.wait(() => this.stage.request());
    this.stage.drawNow();
    for (const gone of old) gone.dispose();
    this.store.keep([this.model.data, ...(this.ghost === null ? [] : [this.ghost.data])]);
  }

  /**
   * @param {Model} model
   * @returns {Model} the one that stood there
   */
  replace(model) {
    this.cutter.clear();
    this.ruler.move(model);
    const old = this.model;
    old.object.removeFromParent();
    this.model = model;
    this.stance.motions = model.data.motions ?? [];
    this.stage.bike.add(model.object);
    this.rider.take(model.data.rider);
    this.events.emit("rider", this.rider.news);
    this.bending.take(model.data.bending);
    if (this.chosen !== null && !model.parts.has(this.chosen.name)) this.choose(null, null);
    if (this.checks.find(model, this.checks.chosen) === undefined) this.checks.chosen = null;
    return old;
  }

  /** Something has changed: see to it what parts look like now, and to all else before drawing. */
  settle() {
    const check = this.checks.find(this.model, this.checks.chosen);
    const lit = new Set(this.ruler.parts);
    if (this.chosen !== null) lit.add(this.chosen.name);
    const between = check === undefined || check.points === null ? null : (check.between ?? null);
    const measured = new Set([...this.ruler.parts, ...(between ?? [])]);
    const all = this.outlining || this.ruler.mode !== null;
    this.rider.settle(this.model, this.colours, this.looks, between !== null);
    this.bending.settle();
    this.looks.apply(this.model, this.colours, lit, between, (name) => all || measured.has(name));
    this.stage.bike.matrix.copy(this.placed());
    if (this.ghost !== null) {
      this.looks.applyGhost(this.ghost, this.colours);
      this.ghost.object.matrix.copy(ghostPlace(this.model, this.ghost, this.levelled));
    }
    this.stage.bike.updateMatrixWorld(true);
    this.stale = true;
    this.stage.ground.stale = true;
    this.stage.request();
  }

  /** Bring everything that follows from pose, choice and theme up to date. */
  freshen() {
    this.stale = false;
    this.cutter.refresh(this.model);
    const before = this.ruler.result;
    this.ruler.refresh(this.colours);
    const { result } = this.ruler;
    if (result !== null || before !== null) this.events.emit("measure", result);
    const shown = this.checks.refresh(this.model, this.colours);
    if (shown !== null) this.events.emit("check", shown);
    this.call();
  }

  /** How the whole bike is moved. */
  placed() {
    return this.levelled ? onGround(this.model) : new this.kit.THREE.Matrix4();
  }

  /** Put the chosen part's name beside it. */
  call() {
    const part = this.chosen === null ? undefined : this.model.parts.get(this.chosen.name);
    const seen = part !== undefined && part.object.visible;
    this.name.at = null;
    if (!seen) return;
    const at = this.chosen?.at?.clone().applyMatrix4(part.object.matrix) ??
      part.box().getCenter(new this.kit.THREE.Vector3());
    this.name.at = at.applyMatrix4(this.stage.bike.matrixWorld);
    this.labels.write(this.name, part.data.title);
  }

  /** Points of what is shown, in the world. */
  points() {
    const shown = this.model.visible.length > 0 ? this.model.visible : this.model.all;
    return shown.flatMap((part) => part.outline(this.stage.bike.matrixWorld)).concat(
      this.rider.points(), this.bending.points());
  }

  /** What the whole bike takes up as drawn [mm]. */
  whole() {
    const box = this.model.drawnBox();
    this.eye.reach = box.getSize(box.min.clone()).length() / 2;
    return box;
  }

  dispose() {
    this.revision += 1;
    this.checks.clear();
    this.ruler.dispose();
    this.cutter.dispose();
    this.rider.dispose();
    this.bending.dispose();
    this.labels.dispose();
    this.helping?.remove();
    this.eye.dispose();
    this.model.dispose();
    this.ghost?.dispose();
    this.store.dispose();
    this.shades.clear();
    this.stage.dispose();
    for (const undo of this.undo) undo();
    this.element.classList.remove("f3d");
    this.events.clear();
  }
}
