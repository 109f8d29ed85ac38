// Stage: canvas, renderer and scene; draws when something has changed, and only then.

import { Ground } from "./ground.js";

const SHARPEST = 2; // device pixels a page pixel: more costs phones their battery and shows nothing

export class Stage {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {HTMLElement} element takes the canvas
   */
  constructor(kit, element) {
    const { THREE } = kit;
    this.element = element;
    this.renderer = new THREE.WebGLRenderer({ antialias: true, alpha: true, stencil: true });
    this.renderer.localClippingEnabled = true;
    this.canvas = this.renderer.domElement;
    element.append(this.canvas);

    this.scene = new THREE.Scene();
    /** Everything of the bike, in the frame's axes [mm]. */
    this.bike = new THREE.Group();
    this.scene.add(this.bike);
    this.ground = new Ground(kit, this.scene);

    /** @type {(() => void)[]} called before every drawing */
    this.before = [];
    /** @type {(() => void)[]} called after every drawing */
    this.after = [];
    /** @type {((time: number) => boolean)[]} moves; each until it says that it is done */
    this.moves = [];
    /** @type {() => import("three").Camera} */
    this.camera = () => new THREE.Camera();
    this.waiting = 0;
    this.lost = false;
    this.size = "";
    /** Of the element [px]; asked for when it changes only, as asking lays the whole page out. */
    this.width = element.clientWidth;
    this.height = element.clientHeight;
    this.watch = new ResizeObserver(() => {
      // At once: a canvas of another size is empty until it is drawn.
      if (this.resize()) this.drawNow();
    });
    this.watch.observe(element);
    this.canvas.addEventListener("webglcontextlost", (event) => {
      event.preventDefault();
      this.lost = true;
    });
    this.canvas.addEventListener("webglcontextrestored", () => {
      this.lost = false;
      this.ground.stale = true;
      this.request();
    });
    /** @type {((width: number, height: number) => void)[]} */
    this.resized = [];
  }

  /** Draw at the next occasion. */
  request() {
    if (this.waiting === 0) this.waiting = requestAnimationFrame((time) => this.draw(time));
  }

  /** Draw without waiting for an occasion: a busy browser lets wait for a second. */
  drawNow() {
    cancelAnimationFrame(this.waiting);
    this.draw(performance.now());
  }

  /** @param {number} time [ms] */
  draw(time) {
    this.waiting = 0;
    this.moves = this.moves.filter((move) => !move(time));
    for (const hook of this.before) hook();
    // An element that is not shown has no picture; all else goes on.
    if (!this.lost && this.width > 0 && this.height > 0) {
      this.ground.draw(this.renderer);
      this.renderer.render(this.scene, this.camera());
    }
    for (const hook of this.after) hook();
    if (this.moves.length > 0) this.request();
  }

  /**
   * Move something over a time, smoothly.
   * @param {number} duration [ms]; 0 for at once
   * @param {(share: number) => void} step called with 0 to 1, with 1 at the end
   */
  move(duration, step) {
    this.request();
    if (duration <= 0) {
      step(1);
      return;
    }
    /** @type {number | undefined} */
    let start;
    this.moves.push((time) => {
      start = start ?? time;
      const share = Math.min((time - start) / duration, 1);
      step(share * share * (3 - 2 * share));
      return share === 1;
    });
  }

  /**
   * Fit the canvas to the element.
   * @returns {boolean} whether its size has changed
   */
  resize() {
    this.width = this.element.clientWidth;
    this.height = this.element.clientHeight;
    const sharp = Math.min(window.devicePixelRatio, SHARPEST);
    const size = `${this.width} ${this.height} ${sharp}`;
    if (size === this.size || this.width === 0 || this.height === 0) return false;
    this.size = size;
    this.renderer.setPixelRatio(sharp);
    this.renderer.setSize(this.width, this.height);
    for (const hook of this.resized) hook(this.width, this.height);
    return true;
  }

  /** @param {import("./theme.js").Theme} theme */
  theme(theme) {
    this.ground.shade(theme.shade);
    this.request();
  }

  /** The picture as it stands, as a PNG in a data URL. */
  picture() {
    this.ground.until = 0;
    this.drawNow();
    return this.canvas.toDataURL("image/png");
  }

  dispose() {
    cancelAnimationFrame(this.waiting);
    this.waiting = -1; // asks for no more
    this.lost = true;
    this.watch.disconnect();
    this.ground.dispose();
    this.renderer.dispose();
    this.renderer.forceContextLoss();
    this.canvas.remove();
  }
}
