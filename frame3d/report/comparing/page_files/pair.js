// Pair: two of the bikes in 3D at the same pose, one as a ghost over the other.

import { find } from "./dom.js";
import { Motions } from "./motions.js";
import { Tools } from "./tools.js";
import { modelBundles, needWebGL } from "./opening.js";

export class Pair {
  /**
   * @param {any} page the page's document
   * @param {import("./words.js").Words} words
   * @param {import("./theme.js").Theme} theme
   * @param {(pose: Record<string, number>) => void} moved called with every new pose
   */
  constructor(page, words, theme, moved) {
    this.page = page;
    this.words = words;
    this.theme = theme;
    this.moved = moved;
    this.solid = find("#solid");
    this.ghost = find("#ghost");
    /** @type {any} */
    this.viewer = null;
    /** @type {Motions | null} */
    this.motions = null;
  }

  /** Show both, once the page's bundles are unpacked. */
  async open() {
    const model = find("#bike-model");
    needWebGL();
    model.classList.add("opening");
    const [three, own, glb] = await modelBundles();
    this.glb = glb;
    const view = find("#view");
    const viewer = await own.createViewer(view, {
      three, glb: glb.slice(0), scene: this.page.scenes[0], texts: this.page.texts,
      theme: this.theme.now(), view: "side",
    });
    this.viewer = view.viewer = viewer;
    this.theme.listeners.push((now) => viewer.theme(now));
    new Tools(viewer, this.words);
    find(".toolbar").hidden = false;
    viewer.on("pose", this.moved);
    this.slide();
    for (const select of [this.solid, this.ghost]) select.addEventListener("change", () => this.show());
    await this.show();
    model.classList.add("live");
    model.dataset.ready = "";
  }

  /** Show the bikes that are chosen, at the pose in which the picture stands. */
  async show() {
    const { glb, page, solid, ghost } = this;
    const other = ghost.value === "" || ghost.value === solid.value ? null : page.scenes[ghost.value];
    await this.viewer.update({
      glb: glb.slice(0), scene: page.scenes[solid.value],
      ghost: other === null ? null : { glb: glb.slice(0), scene: other },
    });
    this.slide();
    find("#view").dataset.ghost = String(other !== null);
  }

  /** Sliders as far as the bike in the picture moves. */
  slide() {
    const place = Number(this.solid.value);
    const level = this.motions === null || find("#level")?.checked !== false;
    this.motions?.part();
    find(".motions").replaceChildren();
    this.motions = new Motions({ scene: this.page.scenes[place], poses: this.page.poses[place] }, this.words);
    this.motions.join(this.viewer, level);
  }

  /** @param {Record<string, number>} pose */
  move(pose) {
    if (this.viewer === null) this.moved(pose);
    else this.viewer.setPose(pose);
  }
}
