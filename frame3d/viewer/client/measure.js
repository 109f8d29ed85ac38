// Measuring: two points, edges or parts, and how far they are apart.

import { Dimension } from "./dimension.js";
import { nearest } from "./nearest.js";
import { Solid } from "./solid.js";
import { Strokes } from "./strokes.js";
import { closestOfSegments, minus } from "./triangles.js";

/** @typedef {"point" | "edge" | "part"} MeasureMode */

/**
 * @typedef {object} Feature something to measure from
 * @property {MeasureMode} kind
 * @property {import("./part.js").Part} part
 * @property {Solid} solid in the part's drawn place
 */

/**
 * @typedef {object} Measured
 * @property {[string, string]} parts
 * @property {[MeasureMode, MeasureMode]} kinds
 * @property {number} distance [mm]
 * @property {number} dx forward [mm]
 * @property {number} dy to the left [mm]
 * @property {number} dz up [mm]
 * @property {[import("./pose.js").Triple, import("./pose.js").Triple]} points in the frame's axes
 */

const SNAP = 12; // a corner this close to the pointer is meant [px]

export class Measure {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {import("./stage.js").Stage} stage
   * @param {import("./eye.js").Eye} eye
   * @param {import("./labels.js").Labels} labels
   * @param {import("./texts.js").Texts} texts
   */
  constructor(kit, stage, eye, labels, texts) {
    this.kit = kit;
    this.stage = stage;
    this.eye = eye;
    this.labels = labels;
    this.texts = texts;
    /** @type {MeasureMode | null} */
    this.mode = null;
    /** @type {Feature[]} none, one or two */
    this.features = [];
    /** @type {Measured | null} */
    this.result = null;
    this.dimension = new Dimension(kit, eye, labels, stage.bike);
    this.picked = new Strokes(kit, eye, 3);
    this.legs = new Strokes(kit, eye, 1.2);
    stage.bike.add(this.picked.object, this.legs.object);
  }

  /** Names of the parts that are measured as a whole. */
  get parts() {
    return this.features.filter(({ kind }) => kind === "part").map(({ part }) => part.name);
  }

  /** @param {MeasureMode | null} mode */
  set(mode) {
    this.mode = mode;
    if (mode === null) this.clear();
  }

  /**
   * Take what was clicked: the first of two, or the second.
   * @param {import("./pick.js").Hit} hit
   */
  take(hit) {
    const feature = this.feature(hit);
    if (feature === null) return;
    this.features = this.features.length === 1 ? [this.features[0], feature] : [feature];
  }

  /** @param {import("./part.js").Part[]} parts two */
  between(parts) {
    this.features = parts.map((part) => ({ kind: "part", part, solid: part.solid }));
  }

  /**
   * @param {import("./pick.js").Hit} hit
   * @returns {Feature | null}
   */
  feature({ part, point }) {
    if (this.mode === "part") return { kind: "part", part, solid: part.solid };
    const toPart = part.object.matrixWorld.clone().invert();
    const own = point.clone().applyMatrix4(toPart);
    if (this.mode === "point") {
      const corner = this.corner(part, own, SNAP * this.eye.pixel(point));
      return { kind: "point", part, solid: Solid.ofPoint(corner) };
    }
    const edges = edgeNear(part.creases, own.toArray());
    return edges === null ? null : { kind: "edge", part, solid: Solid.ofEdges(edges) };
  }

  /**
   * The corner nearest to a point, or the point itself where none is close.
   * @param {import("./part.js").Part} part
   * @param {import("three").Vector3} own
   * @param {number} reach [mm]
   */
  corner(part, own, reach) {
    const { points } = part.creases;
    let best = own.toArray();
    for (let i = 0; i < points.length; i += 3) {
      const far = Math.hypot(points[i] - own.x, points[i + 1] - own.y, points[i + 2] - own.z);
      if (far >= reach) continue;
      reach = far;
      best = [points[i], points[i + 1], points[i + 2]];
    }
    return best;
  }

  /**
   * Measure anew for where the parts stand, and draw it.
   * @param {import("./theme.js").Theme} theme
   */
  refresh(theme) {
    this.wipe();
    this.picked.paint(theme.accent, theme.surface);
    this.legs.paint(theme.ink, theme.surface);
    this.mark();
    if (this.features.length < 2) return;
    const [a, b] = this.features;
    const toA = a.part.object.matrix.clone().invert().multiply(b.part.object.matrix);
    const found = nearest(a.solid, b.solid, toA.toArray());
    const [p, q] = [found.p, found.q].map((x) =>
      new this.kit.THREE.Vector3(...x).applyMatrix4(a.part.object.matrix),
    );
    const d = q.clone().sub(p);
    this.result = {
      parts: [a.part.name, b.part.name],
      kinds: [a.kind, b.kind],
      distance: found.distance,
      dx: d.x,
      dy: d.y,
      dz: d.z,
      points: [p.toArray(), q.toArray()],
    };
    const parts = /** @type {const} */ (["x", "y", "z"]).map((axis) =>
      this.texts.say(`measure.${axis}`, { value: this.texts.number(d[axis]) }),
    );
    this.dimension.show(
      theme, "accent", [p.toArray(), q.toArray()], this.texts.length(found.distance),
      [parts.join(" · ")],
    );
    this.components(p, q);
  }

  /** Show what has been picked: points and edges; parts are lit by the viewer. */
  mark() {
    const { Vector3 } = this.kit.THREE;
    /** @type {[import("three").Vector3, import("three").Vector3][]} */
    const segments = [];
    /** @type {{at: import("three").Vector3, shape: "dot", size: number}[]} */
    const marks = [];
    for (const { kind, part, solid } of this.features) {
      const at = (/** @type {number} */ i) =>
        new Vector3().fromArray(solid.points, 3 * i).applyMatrix4(part.object.matrix);
      if (kind === "point") marks.push({ at: at(0), shape: "dot", size: 9 });
      if (kind !== "edge") continue;
      for (let i = 0; i < solid.points.length / 3; i += 2) segments.push([at(i), at(i + 1)]);
    }
    this.picked.draw(segments, marks);
  }

  /**
   * The way from p to q along the axes: forward, sideways, up.
   * @param {import("three").Vector3} p
   * @param {import("three").Vector3} q
   */
  components(p, q) {
    const corners = [p, p.clone().setX(q.x), q.clone().setZ(p.z), q];
    /** @type {[import("three").Vector3, import("three").Vector3][]} */
    const legs = [];
    corners.slice(1).forEach((end, i) => {
      if (end.distanceTo(corners[i]) > 0.05) legs.push([corners[i], end]);
    });
    if (legs.length > 1) this.legs.draw(legs);
  }

  /**
   * The parts are now those of another model: keep what is measured between whole parts.
   * @param {import("./model.js").Model} model
   */
  move(model) {
    const parts = this.features.map(({ kind, part }) =>
      kind === "part" ? model.parts.get(part.name) : undefined,
    );
    this.features = [];
    if (parts.every((part) => part !== undefined)) this.between(parts);
  }

  /** Before a drawing. */
  settle() {
    for (const strokes of [this.picked, this.legs, this.dimension.strokes]) strokes.settle();
  }

  /** Take the picture of the last measurement away. */
  wipe() {
    this.result = null;
    this.dimension.clear();
    this.picked.clear();
    this.legs.clear();
  }

  clear() {
    this.features = [];
    this.wipe();
  }

  dispose() {
    this.clear();
    this.dimension.dispose();
    this.picked.dispose();
    this.legs.dispose();
  }
}

/**
 * The line of edges that comes closest to a point.
 * @param {import("./creases.js").Creases} creases
 * @param {import("./pose.js").Triple} point
 * @returns {Float32Array | null} (n, 2, 3)
 */
function edgeNear({ points, line }, point) {
  const end = (/** @type {number} */ i) =>
    /** @type {import("./pose.js").Triple} */ ([points[i], points[i + 1], points[i + 2]]);
  let [best, least] = [-1, Infinity];
  for (let i = 0; i < line.length; i += 1) {
    const [p, q] = closestOfSegments(end(6 * i), end(6 * i + 3), point, point);
    const far = Math.hypot(...minus(p, q));
    if (far < least) [best, least] = [i, far];
  }
  if (best < 0) return null;
  const same = [...line.keys()].filter((i) => line[i] === line[best]);
  return Float32Array.from(same.flatMap((i) => [...points.subarray(6 * i, 6 * i + 6)]));
}
