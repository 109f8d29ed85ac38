// Part: one part of the bike as it is drawn, and the ways to show it.

import { creasesOf } from "./creases.js";
import { finishOf } from "./finish.js";
import { CASTS } from "./ground.js";
import { paint, paintOf } from "./paint.js";
import { Pieces } from "./pieces.js";
import { Solid } from "./solid.js";

const SAMPLE = 80; // points of a part that stand for it

/**
 * @typedef {object} PartData
 * @property {string} name
 * @property {string} title
 * @property {string} group
 * @property {string} mount
 * @property {[string, string][]} facts
 * @property {string} colour
 * @property {string} [finish]
 * @property {string} [node] of the GLB that has its triangles; of its own name where left out
 * @property {[number, number, number]} [shift] from where that has them to where it is drawn [mm]
 * @property {import("./pieces.js").PieceData[]} [looks] drawn in place of its outline
 */

/** @typedef {"plain" | "chosen" | "faded" | "ghost"} Look */

export class Part {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {PartData} data
   * @param {import("./shade.js").Shades} shades
   * @param {import("three").BufferGeometry} geometry in the frame's axes, in the drawn place [mm]
   * @param {import("./creases.js").Creases} [creases] found from the triangles where left out
   * @param {Part} [before] that it takes the place of: what that is drawn with stays in use
   * @param {import("./pieces.js").PieceStore} [store] of what it is drawn as
   */
  constructor(kit, data, shades, geometry, creases, before, store) {
    const { THREE } = kit;
    this.kit = kit;
    this.data = data;
    this.name = data.name;
    this.geometry = geometry;
    geometry.computeBoundingBox();
    geometry.computeBoundingSphere();
    this.shades = shades;
    this.finish = finishOf(data);
    const looks = data.looks ?? [];
    const drawn = store !== undefined && looks.length > 0 && looks.every(({ node }) => store.held.has(node));
    /** What it is drawn as, where that is more than its outline, which then is what is measured. */
    this.pieces = drawn ? new Pieces(kit, looks, shades, store, before?.pieces ?? null) : null;
    /** Whether its outline is shown around its pieces. */
    this.outlined = false;
    const same = before !== undefined && before.data.colour === data.colour &&
      before.finish === this.finish && before.look === "plain" && !before.outlined &&
      (before.pieces === null) === (this.pieces === null);
    this.material = same ? before.material : paintOf(kit);
    this.mesh = new THREE.Mesh(geometry, this.material);
    if (this.pieces === null) this.mesh.layers.enable(CASTS);
    /** Moved by the pose; its matrix is set, not made from a position. */
    this.object = new THREE.Group();
    this.object.matrixAutoUpdate = false;
    this.object.userData.name = data.name;
    this.object.add(this.mesh);
    if (this.pieces !== null) this.object.add(this.pieces.object);

    this.creases = creases ?? creasesOf(this.positions, this.corners);
    const lines = new THREE.BufferGeometry();
    lines.setAttribute("position", new THREE.BufferAttribute(this.creases.points, 3));
    this.lineMaterial = same ? before.lineMaterial : new THREE.LineBasicMaterial();
    this.lines = new THREE.LineSegments(lines, this.lineMaterial);
    this.object.add(this.lines);
    /** @type {Look} */
    this.look = "plain";
    /** @type {import("./theme.js").Theme | undefined} */
    this.theme = same ? before.theme : undefined;
    if (same) this.lines.renderOrder = before.lines.renderOrder;
    /** Whether another part is drawn with the same. */
    this.followed = false;
    if (same) before.followed = true;
    this.mesh.visible = this.lines.visible = this.pieces === null;
  }

  /** Meshes that are seen and can be picked. */
  get seen() {
    return this.pieces === null || this.outlined ? [this.mesh] : this.pieces.meshes;
  }

  /** Triangles that a section goes through. */
  get body() {
    return this.pieces === null ? this.geometry : this.pieces.whole;
  }

  /** (n, 3) points [mm] */
  get positions() {
    return this.geometry.attributes.position.array;
  }

  /** (m, 3) corners of triangles */
  get corners() {
    const index = this.geometry.index;
    if (index !== null) return index.array;
    return Uint32Array.from({ length: this.positions.length / 3 }, (_, i) => i);
  }

  /** The part's surface for measuring, in its drawn place; made when first asked for. */
  get solid() {
    this.made = this.made ?? Solid.ofMesh(this.positions, this.corners);
    return this.made;
  }

  /** What it takes up as it stands, in the frame's axes [mm]. */
  box() {
    const box = /** @type {import("three").Box3} */ (this.geometry.boundingBox).clone();
    return box.applyMatrix4(this.object.matrix);
  }

  /**
   * Some of its points, enough to know how much of a picture it takes up.
   * @param {import("three").Matrix4} bike
   * @returns {import("three").Vector3[]} in the world
   */
  outline(bike) {
    const place = bike.clone().multiply(this.object.matrix);
    const count = this.positions.length / 3;
    const step = Math.max(Math.floor(count / SAMPLE), 1);
    const out = [];
    for (let i = 0; i < count; i += step) {
      const point = new this.kit.THREE.Vector3().fromArray(this.positions, 3 * i);
      out.push(point.applyMatrix4(place));
    }
    return out;
  }

  /**
   * @param {import("./theme.js").Theme} theme
   * @param {Look} [look]
   * @param {boolean} [outlined]
   */
  show(theme, look = this.look, outlined = this.outlined) {
    // Pieces may be others than those before them, and drawn with something new.
    this.pieces?.show(theme, look);
    if (look === this.look && theme === this.theme && outlined === this.outlined) return;
    this.theme = theme;
    this.look = look;
    this.outlined = outlined;
    if (this.pieces !== null) {
      this.glass(theme);
      return;
    }
    const solid = look === "plain" || look === "chosen";
    const { colour } = this.data;
    const ball =
      look === "chosen" ? this.shades.of(this.finish, colour, theme.accent, 0.6) :
      look === "ghost" ? this.shades.of("soft", theme.ghost) :
      this.shades.of(this.finish, colour);
    paint(this.material, ball, solid ? 1 : look === "ghost" ? 0.24 : 0.13);
    // Whether it lets through is compiled into how it is drawn.
    if (this.material.transparent === solid) this.material.needsUpdate = true;
    this.material.transparent = !solid;
    this.material.depthWrite = solid;
    // A ghost stands behind what it coincides with: only where the two differ does it show.
    this.material.polygonOffsetFactor = this.material.polygonOffsetUnits = look === "ghost" ? 4 : 1;
    if (look === "ghost") this.mesh.layers.disable(CASTS);
    this.mesh.renderOrder = solid ? 0 : 5;
    this.lines.renderOrder = solid ? 1 : 6;
    this.lineMaterial.color.set(
      look === "chosen" ? theme.accent : look === "ghost" ? theme.ghost : colour,
    );
    if (look === "plain" || look === "faded") {
      this.lineMaterial.color.lerp(new this.kit.THREE.Color(theme.edge), 0.72);
    }
    this.lineMaterial.transparent = !solid;
    this.lineMaterial.opacity = solid ? 1 : 0.26;
  }

  /**
   * Its outline as if of glass, around its pieces.
   * @param {import("./theme.js").Theme} theme
   */
  glass(theme) {
    this.mesh.visible = this.lines.visible = this.outlined && this.look !== "ghost" && this.look !== "faded";
    paint(this.material, this.shades.of("soft", theme.accent), 0.14);
    if (!this.material.transparent) this.material.needsUpdate = true;
    this.material.transparent = this.lineMaterial.transparent = true;
    this.material.depthWrite = false;
    // In front of what coincides with it.
    this.material.polygonOffsetFactor = this.material.polygonOffsetUnits = -2;
    this.mesh.renderOrder = 3;
    this.lines.renderOrder = 4;
    this.lineMaterial.color.set(theme.accent);
    this.lineMaterial.opacity = 0.8;
  }

  /** @param {import("three").Plane[]} planes in the world */
  clip(planes) {
    this.pieces?.clip(planes);
    this.material.clippingPlanes = planes;
    this.lineMaterial.clippingPlanes = planes;
  }

  dispose() {
    this.geometry.dispose();
    this.lines.geometry.dispose();
    this.pieces?.dispose();
    if (this.followed) return;
    this.material.dispose();
    this.lineMaterial.dispose();
  }
}
