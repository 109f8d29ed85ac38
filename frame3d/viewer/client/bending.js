// Bending: how the frame gives under a load, drawn many times too large, tubes in the colours of their
// shares of the work. The frame without load stands behind it, all else steps aside.
//
// Shown in the bike as drawn alone: what moves, cuts, measures or checks the bike lets go of it.

import { carrier, spotOf } from "./carried.js";
import { finer, finerLines } from "./finer.js";
import { paint, paintOf } from "./paint.js";

const NAMED = 3; // labels at most
const SAMPLED = 40; // points of each mesh that stand for it
const LONGEST = 80; // edge of what bends [mm]
const SHAFT = 4; // radius of an arrow [mm]
const HEAD = [13, 38]; // radius and length of its head [mm]
const FOOT = [30, 60]; // radius and height of a support's sign [mm]
const STRUT = 7; // radius of what is rigid and no part of the frame [mm]
const RIGID = "rigid";

/**
 * @typedef {object} BendingData lengths in mm, motions as they are drawn
 * @property {Record<string, number[][]>} strands by part, see `carried.js`
 * @property {string[]} legend what the colours mean
 * @property {BendingCase[]} cases
 */

/**
 * @typedef {object} BendingCase
 * @property {string} key
 * @property {string} title
 * @property {string[]} said
 * @property {Record<string, number[][]>} moved motions of the strands
 * @property {Record<string, number>} steps of colour, by part
 * @property {[string, string][]} labels part and text
 * @property {number[][]} held places, x, y, z
 * @property {number[][]} loads arrows from foot to tip
 * @property {number[][]} struts from end to end, as they are bent
 */

export class Bending {
  /** @param {import("./viewer.js").Viewer} viewer */
  constructor(viewer) {
    this.viewer = viewer;
    this.kit = viewer.kit;
    this.object = new viewer.kit.THREE.Group();
    viewer.stage.bike.add(this.object);
    /** @type {BendingData | null} */
    this.data = null;
    /** @type {BendingCase | null} the case that is shown */
    this.one = null;
    /** @type {string | null} case to show again once there is something to show of it */
    this.kept = null;
    /** @type {Map<string, import("three").Group>} bent parts by name */
    this.bent = new Map();
    /** @type {Map<string, import("three").ShaderMaterial>} by colour of the theme */
    this.materials = new Map();
    this.edges = new viewer.kit.THREE.LineBasicMaterial();
    this.labels = Array.from({ length: NAMED }, () => viewer.labels.add("name", 18));
    viewer.on("pose", (pose) => {
      if (Object.values(pose).some((value) => value !== 0)) this.show(null);
    });
    viewer.on("section", (place) => {
      if (place !== null) this.show(null);
    });
    this.take(viewer.model.data.bending);
  }

  /** Which case is shown, and what there is to say and to choose. */
  get news() {
    const { data, one } = this;
    return {
      shown: one?.key ?? null,
      said: one?.said ?? [],
      legend: (data?.legend ?? []).map((text, i) => ({ text, colour: this.viewer.colours[`share${i}`] })),
      cases: (data?.cases ?? []).map(({ key, title }) => ({ key, title })),
    };
  }

  /**
   * @param {BendingData | null} [data] of a model; where it has none yet, the plain bike is shown until
   *   it is told
   */
  take(data) {
    this.data = data ?? null;
    const key = this.one?.key ?? this.kept;
    this.one = null;
    this.clear();
    this.show(key);
    if (this.data === null) this.kept = key;
    if (key !== null && this.one === null) {
      this.viewer.settle();
      if (this.viewer.eye.kept) this.viewer.fit();
    }
    this.viewer.events.emit("bending", this.news);
  }

  /**
   * Show the frame under a load, or the plain bike.
   * @param {string | null} key of a case
   */
  show(key) {
    const { viewer } = this;
    this.kept = null;
    const one = this.data?.cases.find((each) => each.key === key) ?? null;
    if (one === this.one) return;
    if (one !== null) {
      viewer.nothing(); // of another case too
      viewer.measure(null);
      viewer.section(null);
      viewer.setPose(Object.fromEntries(Object.keys(viewer.pose()).map((name) => [name, 0])));
    }
    this.one = one;
    this.make();
    viewer.settle();
    viewer.events.emit("bending", this.news);
    if (viewer.eye.kept) viewer.fit();
  }

  /**
   * Where a point of a part goes; null where nothing is shown.
   * @param {string} name
   * @param {import("./carried.js").Spot} point
   */
  carried(name, point) {
    const strands = this.strandsOf(name);
    return strands.length === 0 ? null : carrier(strands)(point)[0];
  }

  /**
   * What a part follows: its own strands, or those of the tubes that move with the same mount.
   * @param {string} name
   * @returns {import("./carried.js").Strand[]}
   */
  strandsOf(name) {
    const { data, one } = this;
    const { parts } = this.viewer.model;
    if (data === null || one === null) return [];
    const mount = parts.get(name)?.data.mount;
    const names = name in data.strands ? [name]
      : Object.keys(one.steps).filter((tube) => parts.get(tube)?.data.mount === mount);
    return names.flatMap((own) => data.strands[own].map((at, i) => ({ at, moved: one.moved[own][i] })));
  }

  /** Parts that bend: those of the frame. */
  get parts() {
    return this.viewer.model.all.filter(({ data }) => data.group === "frame" || data.group === "linkage");
  }

  make() {
    this.clear();
    const { one } = this;
    if (one === null) return;
    for (const part of this.parts) {
      const strands = this.strandsOf(part.name);
      if (strands.length > 0) this.add(part, carrier(strands), one.steps[part.name]);
    }
    const { Vector3 } = this.kit.THREE;
    const ends = (/** @type {number[]} */ row) =>
      [new Vector3(...row.slice(0, 3)), new Vector3(...row.slice(3))];
    for (const row of one.struts) {
      const [a, b] = ends(row);
      this.object.add(this.rod(a, b, STRUT, STRUT, this.material(RIGID)));
    }
    for (const row of one.loads) {
      const [foot, tip] = ends(row);
      const way = tip.clone().sub(foot).normalize();
      const neck = tip.clone().addScaledVector(way, -HEAD[1]);
      this.object.add(
        this.rod(foot, neck, SHAFT, SHAFT, this.material("load")),
        this.rod(neck, tip, HEAD[0], 0, this.material("load")),
      );
    }
    for (const row of one.held) {
      const [place] = ends(row);
      const below = place.clone().setZ(place.z - FOOT[1]);
      this.object.add(this.rod(below, place, FOOT[0], 0, this.material("held"), 4));
    }
  }

  /**
   * @param {import("./part.js").Part} part
   * @param {ReturnType<typeof carrier>} carry
   * @param {number | undefined} step of colour; none for what is rigid
   */
  add(part, carry, step) {
    const { THREE } = this.kit;
    const { position, normal } = part.geometry.attributes;
    const longest = step === undefined && part.name in (this.data?.strands ?? {}) ? Infinity : LONGEST;
    const fine = finer(position.array, normal.array, part.corners, longest);
    const [places, ways] = [new Float32Array(fine.positions), new Float32Array(fine.normals)];
    for (let i = 0; i < places.length; i += 3) {
      const [at, way] = carry(spotOf(places, i), spotOf(ways, i));
      places.set(at, i);
      ways.set(way, i);
    }
    const surface = new THREE.BufferGeometry();
    surface.setAttribute("position", new THREE.BufferAttribute(places, 3));
    surface.setAttribute("normal", new THREE.BufferAttribute(ways, 3));
    surface.setIndex(fine.corners);
    const ends = new Float32Array(finerLines(part.creases.points, longest));
    for (let i = 0; i < ends.length; i += 3) ends.set(carry(spotOf(ends, i))[0], i);
    const lines = new THREE.BufferGeometry();
    lines.setAttribute("position", new THREE.BufferAttribute(ends, 3));
    const group = new THREE.Group();
    group.userData.name = part.name;
    group.add(
      new THREE.Mesh(surface, this.material(step === undefined ? RIGID : `share${step}`)),
      new THREE.LineSegments(lines, this.edges),
    );
    this.bent.set(part.name, group);
    this.object.add(group);
  }

  /** @param {string} colour its name in the theme */
  material(colour) {
    const known = this.materials.get(colour) ?? paintOf(this.kit);
    this.materials.set(colour, known);
    return known;
  }

  /**
   * @param {import("three").Vector3} from
   * @param {import("three").Vector3} to
   * @param {number} wide radius there [mm]
   * @param {number} slim radius at the other end [mm]
   * @param {import("three").Material} material
   * @param {number} [around]
   */
  rod(from, to, wide, slim, material, around = 20) {
    const { THREE } = this.kit;
    const way = to.clone().sub(from);
    const mesh = new THREE.Mesh(new THREE.CylinderGeometry(slim, wide, way.length(), around), material);
    mesh.position.copy(from).addScaledVector(way, 0.5);
    mesh.quaternion.setFromUnitVectors(new THREE.Vector3(0, 1, 0), way.normalize());
    return mesh;
  }

  /** Say what steps aside for it, take the theme's colours, and name the tubes that do most. */
  settle() {
    const { viewer, one } = this;
    viewer.looks.bent = one === null ? null : new Set(this.parts.map(({ name }) => name));
    this.labels.forEach((label) => (label.at = null));
    if (one === null) return;
    viewer.rider.object.visible = false;
    for (const [name, group] of this.bent) group.visible = viewer.looks.shows(name);
    for (const [name, material] of this.materials) {
      paint(material, viewer.shades.of("soft", viewer.colours[name]), 1);
    }
    this.edges.color.set(viewer.colours.edge);
    this.object.updateMatrixWorld(true);
    one.labels.slice(0, NAMED).forEach(([name, text], i) => {
      const at = this.middle(name);
      if (at === null || !viewer.looks.shows(name)) return;
      this.labels[i].at = at.applyMatrix4(viewer.stage.bike.matrixWorld);
      viewer.labels.write(this.labels[i], text);
    });
  }

  /**
   * The middle of a part as it is bent, in the frame's axes.
   * @param {string} name
   */
  middle(name) {
    const strands = this.data?.strands[name] ?? [];
    const longest = strands.reduce((best, at) => (at.length > best.length ? at : best), []);
    const place = 3 * Math.floor(longest.length / 6);
    const at = this.carried(name, spotOf(longest, place));
    return at === null ? null : new this.kit.THREE.Vector3(...at);
  }

  /**
   * Some points of what is drawn, in the world.
   * @returns {import("three").Vector3[]}
   */
  points() {
    /** @type {import("three").Vector3[]} */
    const found = [];
    this.object.traverse((child) => {
      const at = /** @type {any} */ (child).geometry?.attributes.position;
      const step = Math.max(Math.floor((at?.count ?? 0) / SAMPLED), 1);
      for (let i = 0; i < (at?.count ?? 0); i += step) {
        found.push(new this.kit.THREE.Vector3().fromBufferAttribute(at, i).applyMatrix4(child.matrixWorld));
      }
    });
    return found;
  }

  clear() {
    this.object.traverse((child) => /** @type {any} */ (child).geometry?.dispose());
    this.object.clear();
    this.bent.clear();
  }

  dispose() {
    this.clear();
    for (const material of this.materials.values()) material.dispose();
    this.edges.dispose();
    this.object.removeFromParent();
  }
}
