// Dimension: a line between two points with marks at its ends and a label.

import { Strokes } from "./strokes.js";

export class Dimension {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {import("./eye.js").Eye} eye
   * @param {import("./labels.js").Labels} labels
   * @param {import("three").Group} bike
   */
  constructor(kit, eye, labels, bike) {
    this.kit = kit;
    this.labels = labels;
    this.bike = bike;
    this.strokes = new Strokes(kit, eye, 2.6);
    this.bike.add(this.strokes.object);
    /** @type {import("./labels.js").Label | undefined} */
    this.label = undefined;
  }

  /**
   * Passing and failing gaps differ in the shape of marks and label as well as in colour.
   * @param {import("./theme.js").Theme} theme
   * @param {import("./labels.js").LabelKind} kind
   * @param {ArrayLike<number>[]} ends two points in the frame's axes [mm]
   * @param {string} strong the label's first line
   * @param {string[]} more
   */
  show(theme, kind, ends, strong, more) {
    const [p, q] = ends.map((end) => new this.kit.THREE.Vector3(end[0], end[1], end[2]));
    this.strokes.paint(
      kind === "holds" ? theme.holds : kind === "short" ? theme.short : theme.accent,
      theme.surface,
    );
    /** @type {import("./strokes.js").Mark} */
    const shape = kind === "short" ? "diamond" : "dot";
    const size = kind === "short" ? 10 : 7.5;
    this.strokes.draw([[p, q]], [p, q].map((at) => ({ at, shape, size })));
    this.label = this.label ?? this.labels.add(kind, 26);
    this.label.element.dataset.kind = kind;
    this.label.at = p.clone().add(q).multiplyScalar(0.5).applyMatrix4(this.bike.matrixWorld);
    this.labels.write(this.label, strong, more);
  }

  clear() {
    this.strokes.clear();
    if (this.label !== undefined) this.labels.remove(this.label);
    this.label = undefined;
  }

  dispose() {
    this.clear();
    this.strokes.dispose();
  }
}
