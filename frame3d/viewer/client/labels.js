// Labels: short texts at points of the model, laid out beside them without covering each other.

const SVG = "http://www.w3.org/2000/svg";
const APART = 4; // between labels, and between them and the rim [px]

/** @typedef {"accent" | "holds" | "short" | "axis" | "name"} LabelKind */

/**
 * @typedef {object} Label
 * @property {HTMLElement} element
 * @property {SVGLineElement} leader
 * @property {import("three").Vector3 | null} at in the world [mm]; null for nowhere
 * @property {number} away from the point [px]
 * @property {[number, number]} size [px]
 */

export class Labels {
  /** @param {HTMLElement} element */
  constructor(element) {
    this.element = document.createElement("div");
    this.element.className = "f3d-labels";
    this.leaders = document.createElementNS(SVG, "svg");
    this.leaders.setAttribute("class", "f3d-leaders");
    this.leaders.setAttribute("aria-hidden", "true");
    this.element.append(this.leaders);
    element.append(this.element);
    /** @type {Label[]} in the order of their rights to a place */
    this.all = [];
  }

  /**
   * @param {LabelKind} kind
   * @param {number} [away] from its point [px]
   * @returns {Label}
   */
  add(kind, away = 14) {
    const element = document.createElement("div");
    element.className = "f3d-label";
    element.dataset.kind = kind;
    const leader = document.createElementNS(SVG, "line");
    this.leaders.append(leader);
    this.element.append(element);
    /** @type {Label} */
    const label = { element, leader, at: null, away, size: [0, 0] };
    this.all.push(label);
    return label;
  }

  /**
   * @param {Label} label
   * @param {string} strong first line, in bold
   * @param {string[]} [more] further lines
   */
  write(label, strong, more = []) {
    const bold = document.createElement("b");
    bold.textContent = strong;
    const lines = more.map((text) => {
      const line = document.createElement("span");
      line.textContent = text;
      return line;
    });
    label.element.replaceChildren(bold, ...lines);
    label.size = [0, 0];
  }

  /** @param {Label} label */
  remove(label) {
    label.element.remove();
    label.leader.remove();
    this.all = this.all.filter((other) => other !== label);
  }

  /**
   * Put every label beside where its point is seen.
   * @param {import("three").Camera} camera
   * @param {number} width [px]
   * @param {number} height [px]
   */
  lay(camera, width, height) {
    /** @type {Box[]} */
    const taken = [];
    for (const label of this.all) {
      const seen = label.at?.clone().project(camera);
      const hidden = seen === undefined || Math.abs(seen.z) > 1 ||
        Math.abs(seen.x) > 1.02 || Math.abs(seen.y) > 1.02;
      label.element.style.visibility = hidden ? "hidden" : "visible";
      label.leader.style.visibility = hidden ? "hidden" : "visible";
      if (hidden) continue;
      if (label.size[0] === 0) {
        label.size = [label.element.offsetWidth, label.element.offsetHeight];
      }
      const [x, y] = [((seen.x + 1) / 2) * width, ((1 - seen.y) / 2) * height];
      const box = placed(x, y, label, taken, width, height);
      taken.push(box);
      label.element.style.transform = `translate(${box.x.toFixed(1)}px, ${box.y.toFixed(1)}px)`;
      const foot = [
        Math.min(Math.max(x, box.x), box.x + box.w), Math.min(Math.max(y, box.y), box.y + box.h),
      ];
      const ends = { x1: x, y1: y, x2: foot[0], y2: foot[1] };
      for (const [key, value] of Object.entries(ends)) {
        label.leader.setAttribute(key, value.toFixed(1));
      }
    }
  }

  dispose() {
    this.element.remove();
  }
}

/** @typedef {{x: number, y: number, w: number, h: number}} Box [px] */

/**
 * A free place for a label near its point: to the right or left first, then further around it.
 * @param {number} x
 * @param {number} y
 * @param {Label} label
 * @param {Box[]} taken
 * @param {number} width
 * @param {number} height
 * @returns {Box}
 */
function placed(x, y, label, taken, width, height) {
  const [w, h] = label.size;
  /** @type {Box[]} */
  const tried = [];
  for (let ring = 0; ring < 5; ring += 1) {
    const away = label.away + ring * (h + APART);
    const [right, left] = [x + label.away, x - label.away - w];
    const middle = x - w / 2;
    const [above, below] = [y - away - h, y + away];
    for (const [px, py] of [
      [right, above], [left, above], [right, below], [left, below], [middle, above], [middle, below],
    ]) {
      const box = {
        x: Math.min(Math.max(px, APART), Math.max(width - w - APART, APART)),
        y: Math.min(Math.max(py, APART), Math.max(height - h - APART, APART)),
        w,
        h,
      };
      if (!taken.some((other) => meet(box, other)) && !covers(box, x, y)) return box;
      tried.push(box);
    }
  }
  return tried[0];
}

/**
 * @param {Box} a
 * @param {Box} b
 */
function meet(a, b) {
  return (
    a.x < b.x + b.w + APART && b.x < a.x + a.w + APART &&
    a.y < b.y + b.h + APART && b.y < a.y + a.h + APART
  );
}

/**
 * @param {Box} box
 * @param {number} x
 * @param {number} y
 */
function covers(box, x, y) {
  return x > box.x && x < box.x + box.w && y > box.y && y < box.y + box.h;
}
