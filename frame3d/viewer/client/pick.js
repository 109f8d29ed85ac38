// Picking: what lies under the pointer, and what stands before a point.

/**
 * @typedef {object} Hit
 * @property {import("./part.js").Part} part
 * @property {import("three").Vector3} point in the world [mm]
 */

export class Picker {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {import("./stage.js").Stage} stage
   * @param {import("./eye.js").Eye} eye
   * @param {import("./section.js").Section} section
   */
  constructor(kit, stage, eye, section) {
    this.THREE = kit.THREE;
    this.stage = stage;
    this.eye = eye;
    this.section = section;
    this.ray = new kit.THREE.Raycaster();
  }

  /**
   * The first part under a place of the canvas that is shown and not cut away.
   * @param {import("./model.js").Model} model
   * @param {{clientX: number, clientY: number}} place
   * @returns {Hit | null}
   */
  at(model, place) {
    const frame = this.stage.canvas.getBoundingClientRect();
    const x = (2 * (place.clientX - frame.left)) / frame.width - 1;
    const y = 1 - (2 * (place.clientY - frame.top)) / frame.height;
    this.eye.settle();
    this.ray.setFromCamera(new this.THREE.Vector2(x, y), this.eye.camera);
    return this.along(model);
  }

  /** @param {import("./model.js").Model} model */
  along(model) {
    const { DoubleSide, FrontSide } = this.THREE;
    /** @type {Hit | null} */
    let best = null;
    let nearest = Infinity;
    for (const part of model.visible) {
      if (part.look === "faded") continue;
      // Where a cut face closes a part, the ray meets the part's inside next.
      const side = this.section.place === null ? FrontSide : DoubleSide;
      const hits = part.seen.flatMap((mesh) => {
        const material = /** @type {import("three").Material} */ (mesh.material);
        material.side = side;
        const met = this.ray.intersectObject(mesh, false);
        material.side = FrontSide;
        return met;
      }).sort((a, b) => a.distance - b.distance);
      const first = hits.find((hit) => !this.section.hides(hit.point));
      if (first === undefined) continue;
      const inside = (first.face?.normal.clone() ?? this.ray.ray.direction)
        .transformDirection(first.object.matrixWorld)
        .dot(this.ray.ray.direction) > 0;
      const cap = inside
        ? this.ray.ray.intersectPlane(this.section.plane, new this.THREE.Vector3())
        : null;
      const point = cap ?? first.point;
      const distance = point.distanceTo(this.ray.ray.origin);
      if (distance >= nearest) continue;
      nearest = distance;
      best = { part, point };
    }
    return best;
  }

  /**
   * Whether anything shown stands between a point and the eye.
   * @param {import("./part.js").Part[]} parts
   * @param {import("three").Vector3} point in the world
   * @param {import("three").Vector3} direction toward the eye
   */
  covered(parts, point, direction) {
    this.ray.set(point.clone().addScaledVector(direction, 0.5), direction);
    return parts.some((part) => this.ray.intersectObject(part.mesh, false).length > 0);
  }
}
