// Pieces: what a part is drawn as where it is more than its outline.

import { SURFACES } from "./shade.js";
import { CASTS } from "./ground.js";
import { paint, paintOf } from "./paint.js";

/**
 * @typedef {object} PieceData
 * @property {string} node of the GLB that has its triangles, in its own axes
 * @property {string} colour
 * @property {string} finish
 * @property {boolean} [drops] whether it goes down with the saddle
 * @property {number[]} at its motion from there to where the part is drawn, 16 numbers by columns
 */

/**
 * @typedef {object} Made
 * @property {import("three").BufferGeometry} geometry
 * @property {import("three").BufferGeometry | null} lines
 */

const HELD = 300; // so many are kept at least, so that a value may go back and forth

/** Triangles by their node's name, for models that follow each other: what stays is read once. */
export class PieceStore {
  constructor() {
    /** @type {Map<string, Made>} */
    this.held = new Map();
  }

  /**
   * Let go of what none of these models shows, the oldest first, where there is much of it.
   * @param {import("./model.js").SceneData[]} scenes
   */
  keep(scenes) {
    const used = new Set(scenes.flatMap((scene) => nodesOf(scene)));
    for (const [node, made] of this.held) {
      if (this.held.size <= HELD) break;
      if (used.has(node)) continue;
      made.geometry.dispose();
      made.lines?.dispose();
      this.held.delete(node);
    }
  }

  dispose() {
    for (const made of this.held.values()) {
      made.geometry.dispose();
      made.lines?.dispose();
    }
    this.held.clear();
  }
}

/**
 * Names of the nodes that a scene's pieces take.
 * @param {import("./model.js").SceneData} scene
 * @returns {string[]}
 */
export function nodesOf(scene) {
  return scene.parts.flatMap((part) => (part.looks ?? []).map(({ node }) => node));
}

export class Pieces {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {PieceData[]} data
   * @param {import("./shade.js").Shades} shades
   * @param {PieceStore} store has all of them
   * @param {Pieces | null} before that they take the place of: what those are drawn with stays in use
   */
  constructor(kit, data, shades, store, before) {
    const { THREE } = kit;
    this.kit = kit;
    this.data = data;
    this.shades = shades;
    this.object = new THREE.Group();
    this.object.matrixAutoUpdate = false;
    const same = before !== null && before.look === "plain" && drawnAlike(before.data, data);
    this.materials = same ? before.materials : data.map(() => paintOf(kit));
    this.lineMaterials = same ? before.lineMaterials : data.map(() => new THREE.LineBasicMaterial());
    /** @type {import("./part.js").Look} */
    this.look = "plain";
    /** @type {import("./theme.js").Theme | undefined} */
    this.theme = same ? before.theme : undefined;
    /** Whether others are drawn with the same. */
    this.followed = false;
    if (same) before.followed = true;
    /** @type {number[]} how far what goes down with the saddle is drawn from its place [mm] */
    this.lowered = [0, 0, 0];
    /** @type {import("three").Mesh[]} */
    this.meshes = [];
    /** @type {import("three").LineSegments[]} */
    this.lines = [];
    data.forEach(({ node, at }, i) => {
      const { geometry, lines } = /** @type {Made} */ (store.held.get(node));
      const place = new THREE.Group();
      place.matrixAutoUpdate = false;
      place.matrix.fromArray(at);
      const mesh = new THREE.Mesh(geometry, this.materials[i]);
      mesh.layers.enable(CASTS);
      place.add(mesh);
      this.meshes.push(mesh);
      if (lines !== null) {
        const drawn = new THREE.LineSegments(lines, this.lineMaterials[i]);
        drawn.renderOrder = 1;
        place.add(drawn);
        this.lines.push(drawn);
      }
      this.object.add(place);
    });
  }

  /**
   * Draw what goes down with the saddle so much from its place.
   * @param {[number, number, number]} by [mm]
   */
  lower(by) {
    if (by.every((value, i) => value === this.lowered[i])) return;
    this.lowered = by;
    this.joined?.dispose();
    this.joined = undefined;
    this.data.forEach(({ at, drops }, i) => {
      if (drops !== true) return;
      const { matrix } = /** @type {import("three").Object3D} */ (this.meshes[i].parent);
      matrix.fromArray(at);
      by.forEach((value, k) => (matrix.elements[12 + k] += value));
    });
  }

  /** All triangles as one, in the part's axes; made when first asked for. */
  get whole() {
    this.joined = this.joined ?? joinedOf(this.kit, this.meshes);
    return this.joined;
  }

  /**
   * @param {import("./theme.js").Theme} theme
   * @param {import("./part.js").Look} look
   */
  show(theme, look) {
    if (look === this.look && theme === this.theme) return;
    this.theme = theme;
    this.look = look;
    const solid = look === "plain" || look === "chosen";
    const edge = new this.kit.THREE.Color(theme.edge);
    this.data.forEach(({ colour, finish }, i) => {
      const kind = Object.hasOwn(SURFACES, finish) ? finish : "alloy";
      const surface = /** @type {import("./shade.js").Finish} */ (kind);
      const material = this.materials[i];
      const ball =
        look === "chosen" ? this.shades.of(surface, colour, theme.accent, 0.55) :
        look === "ghost" ? this.shades.of("soft", theme.ghost) :
        this.shades.of(surface, colour);
      paint(material, ball, solid ? 1 : look === "ghost" ? 0.24 : 0.1);
      if (material.transparent === solid) material.needsUpdate = true;
      material.transparent = !solid;
      material.depthWrite = solid;
      material.polygonOffsetFactor = material.polygonOffsetUnits = look === "ghost" ? 4 : 1;
      const line = this.lineMaterials[i];
      line.color.set(look === "chosen" ? theme.accent : look === "ghost" ? theme.ghost : colour);
      if (look === "plain" || look === "faded") line.color.lerp(edge, 0.6);
      line.transparent = !solid;
      line.opacity = solid ? 1 : 0.16;
    });
    for (const mesh of this.meshes) {
      mesh.renderOrder = solid ? 0 : 5;
      if (look === "ghost") mesh.layers.disable(CASTS);
    }
    for (const lines of this.lines) lines.renderOrder = solid ? 1 : 6;
  }

  /** @param {import("three").Plane[]} planes in the world */
  clip(planes) {
    for (const material of [...this.materials, ...this.lineMaterials]) {
      material.clippingPlanes = planes;
    }
  }

  dispose() {
    this.joined?.dispose();
    if (this.followed) return;
    for (const material of [...this.materials, ...this.lineMaterials]) material.dispose();
  }
}

/**
 * Whether pieces are drawn alike, whatever their triangles.
 * @param {PieceData[]} a
 * @param {PieceData[]} b
 */
function drawnAlike(a, b) {
  return a.length === b.length &&
    a.every(({ colour, finish }, i) => colour === b[i].colour && finish === b[i].finish);
}

/**
 * @param {import("./three.js").Kit} kit
 * @param {import("three").Mesh[]} meshes
 */
function joinedOf(kit, meshes) {
  const { THREE } = kit;
  const points = meshes.reduce((sum, { geometry }) => sum + geometry.attributes.position.count, 0);
  const indices = meshes.map(({ geometry }) => geometry.index?.array ?? []);
  const positions = new Float32Array(3 * points);
  const corners = new Uint32Array(indices.reduce((sum, index) => sum + index.length, 0));
  const at = new THREE.Vector3();
  let [point, corner] = [0, 0];
  meshes.forEach((mesh, k) => {
    const { position } = mesh.geometry.attributes;
    const { matrix } = /** @type {import("three").Object3D} */ (mesh.parent);
    for (let i = 0; i < position.count; i += 1) {
      at.fromArray(position.array, 3 * i).applyMatrix4(matrix).toArray(positions, 3 * (point + i));
    }
    for (let i = 0; i < indices[k].length; i += 1) corners[corner + i] = point + indices[k][i];
    point += position.count;
    corner += indices[k].length;
  });
  const whole = new THREE.BufferGeometry();
  whole.setAttribute("position", new THREE.BufferAttribute(positions, 3));
  whole.setIndex(new THREE.BufferAttribute(corners, 1));
  return whole;
}
