// Eye: the two cameras, turned by one set of controls, and moves from view to view.

import { VIEWS, framed } from "./views.js";

/** @typedef {"perspective" | "orthographic"} Projection */

const FOV = 22; // [degrees] of the height: a long lens, which bends a bike's lines little
const MARGIN = 0.055;
export const MOMENT = 420; // of a move [ms]

export class Eye {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {import("./stage.js").Stage} stage
   * @param {boolean} still whether to do without moves
   */
  constructor(kit, stage, still) {
    const { THREE } = kit;
    this.THREE = THREE;
    this.stage = stage;
    this.still = still;
    this.perspective = new THREE.PerspectiveCamera(FOV, 1, 1, 1e5);
    this.orthographic = new THREE.OrthographicCamera(-1, 1, 1, -1, 1, 1e5);
    // Before the controls, which take it from the camera once.
    for (const camera of [this.perspective, this.orthographic]) camera.up.set(0, 0, 1);
    this.perspective.position.set(0, -4000, 0);
    /** @type {Projection} */
    this.projection = "perspective";
    this.controls = new kit.OrbitControls(this.perspective, stage.canvas);
    this.controls.enableDamping = !still;
    this.controls.dampingFactor = 0.14;
    this.controls.rotateSpeed = 0.8;
    this.controls.zoomToCursor = true;
    this.controls.addEventListener("change", () => stage.request());
    this.controls.addEventListener("start", () => this.taken());
    this.journey = 0;
    /** Whether the picture still shows what it was last told to, or a hand has moved it. */
    this.kept = true;
    this.reach = 2000;
    stage.camera = () => this.camera;
    stage.before.push(() => this.settle());
    stage.resized.push((width, height) => this.resize(width / height));
  }

  /** A hand is on it: that ends a move. */
  taken() {
    this.journey += 1;
    this.kept = false;
  }

  get camera() {
    return this.projection === "perspective" ? this.perspective : this.orthographic;
  }

  get target() {
    return this.controls.target;
  }

  /** Height of the picture at the target [mm]. */
  get height() {
    if (this.projection === "orthographic") return 2 / this.orthographic.zoom;
    const distance = this.perspective.position.distanceTo(this.target);
    return 2 * distance * Math.tan((FOV * Math.PI) / 360);
  }

  /**
   * Size of a screen pixel at a point [mm].
   * @param {import("three").Vector3} point in the world
   */
  pixel(point) {
    const full = this.stage.height || 1;
    if (this.projection === "orthographic") return this.height / full;
    const depth = point.clone().applyMatrix4(this.perspective.matrixWorldInverse).z;
    return (2 * Math.max(-depth, 1) * Math.tan((FOV * Math.PI) / 360)) / full;
  }

  /** @param {number} aspect */
  resize(aspect) {
    this.perspective.aspect = aspect;
    this.perspective.updateProjectionMatrix();
    [this.orthographic.left, this.orthographic.right] = [-aspect, aspect];
    this.orthographic.updateProjectionMatrix();
  }

  /** Before a drawing: carry out what the hand has done, keep everything between near and far. */
  settle() {
    this.controls.update();
    const camera = this.camera;
    const distance = camera.position.distanceTo(this.target);
    camera.near = Math.max(distance - 3 * this.reach, distance / 100, 1);
    camera.far = distance + 4 * this.reach;
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
  }

  /** @param {Projection} projection */
  project(projection) {
    if (projection === this.projection) return;
    const [height, from] = [this.height, this.camera];
    const direction = from.position.clone().sub(this.target).normalize();
    this.projection = projection;
    this.controls.object = this.camera;
    this.place(this.target.clone(), direction, height);
    this.controls.update();
    this.stage.request();
  }

  /**
   * @param {import("three").Vector3} target
   * @param {import("three").Vector3} direction toward the eye, a unit vector
   * @param {number} height of the picture at the target [mm]
   */
  place(target, direction, height) {
    this.target.copy(target);
    const perspective = this.projection === "perspective";
    const distance = perspective
      ? height / 2 / Math.tan((FOV * Math.PI) / 360)
      : 3 * this.reach; // outside everything
    this.camera.position.copy(target).addScaledVector(direction, distance);
    this.camera.zoom = perspective ? 1 : 2 / height;
    this.camera.updateProjectionMatrix();
  }

  /**
   * Look at points from a direction, so that they fill the picture.
   * @param {import("three").Vector3[]} points
   * @param {import("three").Vector3} [direction] as now where left out
   * @param {{least?: number, margin?: number, at_once?: boolean}} [how] least: height taken in [mm]
   */
  look(points, direction, how = {}) {
    const { Vector3, Spherical } = this.THREE;
    const to = direction ?? this.camera.position.clone().sub(this.target);
    const lens = {
      aspect: this.perspective.aspect,
      fov: FOV,
      perspective: this.projection === "perspective",
    };
    const { target, distance } = framed(this.THREE, points, to, lens, how.margin ?? MARGIN);
    const height = Math.max(2 * distance * Math.tan((FOV * Math.PI) / 360), how.least ?? 0);

    // On the way, angles, target and the logarithm of the height change evenly.
    const [here, high] = [this.target.clone(), this.height];
    const turned = (/** @type {import("three").Vector3} */ v) => new Vector3(v.x, v.z, -v.y);
    const from = new Spherical().setFromVector3(turned(this.camera.position.clone().sub(here)));
    const end = new Spherical().setFromVector3(turned(to));
    // Seen from straight above or below, any turn will do: keep the one that is shortest.
    const spin = ((end.theta - from.theta + 3 * Math.PI) % (2 * Math.PI)) - Math.PI;
    const journey = (this.journey += 1);
    this.kept = true;
    this.stage.move(this.still || how.at_once === true ? 0 : MOMENT, (share) => {
      if (journey !== this.journey) return;
      const phi = from.phi + share * (end.phi - from.phi);
      const unit = new Vector3().setFromSphericalCoords(1, phi, from.theta + share * spin);
      const way = new Vector3(unit.x, -unit.z, unit.y);
      this.place(here.clone().lerp(target, share), way, high * (height / high) ** share);
    });
  }

  /** @param {import("./views.js").View} view */
  direction(view) {
    return new this.THREE.Vector3(...VIEWS[view]).normalize();
  }

  /**
   * Turn and shift by hand or by key.
   * @param {number} side [radians] to the right
   * @param {number} up [radians]
   */
  turn(side, up) {
    const { Vector3, Spherical } = this.THREE;
    const arm = this.camera.position.clone().sub(this.target);
    const at = new Spherical().setFromVector3(new Vector3(arm.x, arm.z, -arm.y));
    at.theta += side;
    at.phi = Math.min(Math.max(at.phi - up, 1e-4), Math.PI - 1e-4);
    const moved = new Vector3().setFromSpherical(at);
    this.taken();
    this.camera.position.copy(this.target).add(new Vector3(moved.x, -moved.z, moved.y));
    this.stage.request();
  }

  /**
   * @param {number} right share of the picture's height
   * @param {number} up
   */
  shift(right, up) {
    const [x, y, z] = [0, 1, 2].map(() => new this.THREE.Vector3());
    this.camera.matrixWorld.extractBasis(x, y, z);
    const by = x.multiplyScalar(right * this.height).addScaledVector(y, up * this.height);
    this.taken();
    this.target.add(by);
    this.camera.position.add(by);
    this.stage.request();
  }

  /** @param {number} factor above 1 to see more closely */
  zoom(factor) {
    const arm = this.camera.position.clone().sub(this.target);
    this.taken();
    this.place(this.target.clone(), arm.normalize(), this.height / factor);
    this.stage.request();
  }

  dispose() {
    this.controls.dispose();
  }
}
