// Rider: a figure to scale on the bike, made from few numbers; no part, never picked or measured.
//
// Each segment is one surface, made once, which matrices put between its joints. Depth is drawn before
// colour, so that what shows through is the bike and never the figure's own far side.

import { paint, paintOf } from "./paint.js";

/** @typedef {[number, number, number]} Place */

/**
 * @typedef {object} RiderData lengths in mm, places as the bike is drawn, in the frame's axes
 * @property {Record<string, {square: number, rings: number[][]}>} shapes place along the axis, half
 *   width, half depth, distance of the middle ahead of the axis
 * @property {Posture[]} postures
 * @property {string[]} instead_of names of parts that step aside for it
 */

/**
 * @typedef {object} Posture
 * @property {string} name
 * @property {string} title
 * @property {{shape: string, start: Place, end: Place, front: Place, mount: string}[]} fixed
 * @property {LimbData[]} limbs
 * @property {Place} drop how far the saddle is lowered
 */

/**
 * @typedef {object} LimbData an arm or a leg
 * @property {Place} root
 * @property {Place} tip
 * @property {Place} bend which way its middle joint lies
 * @property {[string, number]} upper shape and length
 * @property {[string, number][]} lower in line from the middle joint on
 * @property {number[]} fronts for each segment whether its front looks where the limb bends (1), away
 *   from there (-1), or up (0)
 * @property {string} mount what its tip moves with
 */

const FIGURE_AROUND = 28;
const FIGURE_COVER = 0.66;
const FIGURE_FAINT = 0.14; // where something is shown that it must not hide
const FIGURE_STRETCH = 1.08; // limbs that are too short by more let go of what they hold

export class Rider {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {import("three").Object3D} bike that it sits on
   * @param {import("./shade.js").Shades} shades
   * @param {() => void} changed called when it is shown, hidden, or in another posture
   */
  constructor(kit, bike, shades, changed) {
    this.kit = kit;
    this.changed = changed;
    this.shades = shades;
    this.object = new kit.THREE.Group();
    this.object.visible = false;
    this.object.matrixAutoUpdate = false;
    bike.add(this.object);
    /** @type {RiderData | null} */
    this.data = null;
    /** The shapes of which there are surfaces, as JSON. */
    this.made = "";
    /** @type {Map<string, import("three").BufferGeometry>} */
    this.surfaces = new Map();
    /** @type {import("three").ShaderMaterial[]} depth, colour; made when first shown */
    this.materials = [];
    /** @type {string | null} name of the posture that is shown */
    this.shown = null;
    /** Whether it makes way, as for what a section shows. */
    this.away = false;
  }

  /** Names and titles of the postures that there are. */
  get postures() {
    return (this.data?.postures ?? []).map(({ name, title }) => ({ name, title }));
  }

  get news() {
    return { shown: this.shown, postures: this.postures };
  }

  /**
   * Show it in a posture, or hide it.
   * @param {string | null} posture name of one of the postures
   */
  show(posture) {
    this.shown = posture;
    this.take(this.data);
    this.changed();
  }

  /** The next posture, after the last one none. */
  showNext() {
    const names = this.postures.map(({ name }) => name);
    this.show(names[names.indexOf(this.shown ?? "") + 1] ?? null);
  }

  /** @returns {Posture | null} */
  get posture() {
    return this.data?.postures.find(({ name }) => name === this.shown) ?? null;
  }

  /** @param {RiderData | null} [data] of a model; a posture that it has not is shown no longer */
  take(data) {
    this.data = data ?? null;
    if (this.posture === null) this.shown = null;
  }

  /**
   * Stand as the bike does.
   * @param {import("./model.js").Model} model
   * @param {import("./theme.js").Theme} theme
   * @param {import("./looks.js").Looks} looks
   * @param {boolean} faint whether all but a few parts step back
   */
  settle(model, theme, looks, faint) {
    const { posture } = this;
    looks.aside = new Set(posture === null ? [] : (this.data?.instead_of ?? []));
    this.object.visible = posture !== null && !this.away;
    for (const part of model.all) part.pieces?.lower(posture?.drop ?? [0, 0, 0]);
    if (posture === null) return;
    this.prepare(theme, faint ? FIGURE_FAINT : FIGURE_COVER);
    const place = this.bones(posture, model);
    while (this.object.children.length < 2 * place.length) this.add();
    this.object.children.forEach((child, i) => {
      const bone = place[i >> 1];
      child.visible = bone !== undefined;
      if (bone === undefined) return;
      const mesh = /** @type {import("three").Mesh} */ (child);
      mesh.geometry = /** @type {import("three").BufferGeometry} */ (this.surfaces.get(bone.shape));
      mesh.matrix.copy(bone.matrix);
    });
  }

  /**
   * @param {import("./theme.js").Theme} theme
   * @param {number} cover
   */
  prepare(theme, cover) {
    if (this.materials.length === 0) {
      const [depth, colour] = [paintOf(this.kit), paintOf(this.kit)];
      for (const material of [depth, colour]) material.transparent = true;
      depth.colorWrite = false;
      colour.depthWrite = false;
      this.materials = [depth, colour];
    }
    paint(this.materials[0], this.shades.of("soft", theme.rider), 1);
    paint(this.materials[1], this.shades.of("soft", theme.rider), cover);
    const shapes = JSON.stringify(this.data?.shapes);
    if (shapes === this.made) return;
    this.made = shapes;
    this.forget();
    for (const [name, shape] of Object.entries(this.data?.shapes ?? {})) {
      this.surfaces.set(name, surfaceOf(this.kit, shape));
    }
  }

  add() {
    const { THREE } = this.kit;
    this.materials.forEach((material, i) => {
      const mesh = new THREE.Mesh(undefined, material);
      mesh.matrixAutoUpdate = false;
      mesh.frustumCulled = false;
      mesh.renderOrder = 20 + i; // after all else
      this.object.add(mesh);
    });
  }

  /**
   * Every segment with its motion from its own axes to where it is.
   * @param {Posture} posture
   * @param {import("./model.js").Model} model
   */
  bones(posture, model) {
    const { Vector3 } = this.kit.THREE;
    const moved = (/** @type {string} */ mount) => {
      const still = new this.kit.THREE.Matrix4().fromArray(model.matrixOf(mount, {})).invert();
      return still.premultiply(new this.kit.THREE.Matrix4().fromArray(model.matrixOf(mount, model.pose)));
    };
    const placed = posture.fixed.map(({ shape, start, end, front, mount }) => {
      const motion = moved(mount);
      const [from, to] = [start, end].map((at) => new Vector3(...at).applyMatrix4(motion));
      const way = new Vector3(...front).transformDirection(motion);
      return { shape, matrix: this.between(from, to, way, from.distanceTo(to)) };
    });
    for (const limb of posture.limbs) {
      const tip = new Vector3(...limb.tip).applyMatrix4(moved(limb.mount));
      const bend = new Vector3(...limb.bend);
      const [upper, length] = limb.upper;
      const whole = limb.lower.reduce((sum, [, own]) => sum + own, 0);
      let from = new Vector3(...limb.root);
      const middle = middleOf(from, tip, bend, length, whole);
      const front = (/** @type {number} */ i) => {
        const way = limb.fronts[i];
        return way === 0 ? new Vector3(0, 0, 1) : bend.clone().multiplyScalar(way);
      };
      placed.push({ shape: upper, matrix: this.between(from, middle, front(0), length) });
      const way = tip.clone().sub(middle);
      way.setLength(Math.min(way.length(), FIGURE_STRETCH * whole) / whole);
      from = middle;
      limb.lower.forEach(([shape, own], i) => {
        const to = from.clone().addScaledVector(way, own);
        placed.push({ shape, matrix: this.between(from, to, front(i + 1), own) });
        from = to;
      });
    }
    return placed;
  }

  /**
   * The motion that puts a segment's axis between two points.
   * @param {import("three").Vector3} from
   * @param {import("three").Vector3} to
   * @param {import("three").Vector3} front
   * @param {number} length of the segment itself
   */
  between(from, to, front, length) {
    const up = to.clone().sub(from);
    const stretch = up.length() / length;
    up.normalize();
    const ahead = front.clone().addScaledVector(up, -front.dot(up)).normalize();
    const left = up.clone().cross(ahead);
    const turn = new this.kit.THREE.Matrix4().makeBasis(ahead, left, up.multiplyScalar(stretch));
    return turn.setPosition(from);
  }

  /**
   * Points that it reaches to, in the world.
   * @returns {import("three").Vector3[]}
   */
  points() {
    if (!this.object.visible) return [];
    const shapes = this.data?.shapes ?? {};
    return this.object.children.flatMap((child, i) => {
      const mesh = /** @type {import("three").Mesh} */ (child);
      if (i % 2 > 0 || !mesh.visible) return [];
      const name = [...this.surfaces].find(([, surface]) => surface === mesh.geometry)?.[0] ?? "";
      const rings = shapes[name]?.rings ?? [];
      return [rings[0], rings[rings.length - 1]].flatMap(([s, , , ahead]) =>
        new this.kit.THREE.Vector3(ahead, 0, s).applyMatrix4(mesh.matrix)
          .applyMatrix4(this.object.matrixWorld));
    });
  }

  /** @param {boolean} away whether the bike is cut open, and it would stand before the cut */
  clear(away) {
    this.away = away;
    this.object.visible = this.posture !== null && !away;
  }

  forget() {
    for (const surface of this.surfaces.values()) surface.dispose();
    this.surfaces.clear();
  }

  dispose() {
    this.forget();
    for (const material of this.materials) material.dispose();
    this.object.removeFromParent();
  }
}

/**
 * The joint that is as far from root and tip as the two segments are long.
 * @param {import("three").Vector3} root
 * @param {import("three").Vector3} tip
 * @param {import("three").Vector3} bend which way it lies
 * @param {number} upper
 * @param {number} lower
 */
function middleOf(root, tip, bend, upper, lower) {
  const along = tip.clone().sub(root);
  const distance = along.length();
  along.normalize();
  if (distance >= upper + lower) {
    const stretch = Math.min(distance / (upper + lower), FIGURE_STRETCH);
    return root.clone().addScaledVector(along, stretch * upper);
  }
  const foot = (upper ** 2 - lower ** 2 + distance ** 2) / (2 * distance);
  const off = Math.sqrt(Math.max(upper ** 2 - foot ** 2, 0));
  const out = bend.clone().addScaledVector(along, -bend.dot(along)).normalize();
  return root.clone().addScaledVector(along, foot).addScaledVector(out, off);
}

/**
 * A segment's surface about z: x is its front, y its left.
 * @param {import("./three.js").Kit} kit
 * @param {{square: number, rings: number[][]}} shape
 */
function surfaceOf({ THREE }, { square, rings }) {
  const points = new Float32Array(3 * FIGURE_AROUND * rings.length);
  const corner = (/** @type {number} */ value) => Math.sign(value) * Math.abs(value) ** (2 / square);
  let at = 0;
  for (const [s, across, deep, ahead] of rings) {
    for (let i = 0; i < FIGURE_AROUND; i += 1) {
      const turn = (2 * Math.PI * i) / FIGURE_AROUND;
      points[at] = ahead + deep * corner(Math.cos(turn));
      points[at + 1] = across * corner(Math.sin(turn));
      points[at + 2] = s;
      at += 3;
    }
  }
  /** @type {number[]} */
  const corners = [];
  for (let ring = 0; ring + 1 < rings.length; ring += 1) {
    for (let i = 0; i < FIGURE_AROUND; i += 1) {
      const [a, b] = [FIGURE_AROUND * ring + i, FIGURE_AROUND * ring + ((i + 1) % FIGURE_AROUND)];
      corners.push(a, b, a + FIGURE_AROUND, b, b + FIGURE_AROUND, a + FIGURE_AROUND);
    }
  }
  // Both ends are all but points: closed by a fan.
  const last = FIGURE_AROUND * (rings.length - 1);
  for (let i = 1; i + 1 < FIGURE_AROUND; i += 1) corners.push(0, i + 1, i, last, last + i, last + i + 1);
  const surface = new THREE.BufferGeometry();
  surface.setAttribute("position", new THREE.BufferAttribute(points, 3));
  surface.setIndex(corners);
  surface.computeVertexNormals();
  return surface;
}
