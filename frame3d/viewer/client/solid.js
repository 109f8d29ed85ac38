// Solid: triangles, edges or a point in a tree of boxes, for finding what is nearest.

const LEAF = 4; // pieces that need no further sorting
const LONG = 80; // a side longer than this makes boxes that say little [mm]

export class Solid {
  /**
   * @param {Float64Array} points (n, 3)
   * @param {Uint32Array} corners (m, 3): triangles; an edge names its second end twice, a point
   *   itself three times
   */
  constructor(points, corners) {
    this.points = points;
    this.corners = corners;
    const count = corners.length / 3;
    this.order = Uint32Array.from({ length: count }, (_, i) => i);
    /** @type {number[]} six numbers a box: the lowest x, y, z and the highest */
    this.boxes = [];
    /** @type {number[]} two numbers a box: first piece and how many, or -1 - the second child, 0 */
    this.nodes = [];
    const middles = new Float64Array(3 * count);
    for (let i = 0; i < middles.length; i += 1) {
      const face = 3 * Math.floor(i / 3);
      for (let k = 0; k < 3; k += 1) middles[i] += points[3 * corners[face + k] + (i % 3)] / 3;
    }
    if (count > 0) this.build(middles, 0, count);
  }

  /**
   * @param {ArrayLike<number>} positions (n, 3)
   * @param {ArrayLike<number>} corners (m, 3)
   */
  static ofMesh(positions, corners) {
    const points = Array.from(positions);
    /** @type {number[]} */
    const short = [];
    for (let i = 0; i < corners.length; i += 3) {
      halved(points, [corners[i], corners[i + 1], corners[i + 2]], short);
    }
    return new Solid(Float64Array.from(points), Uint32Array.from(short));
  }

  /** @param {ArrayLike<number>} points (n, 2, 3) */
  static ofEdges(points) {
    const corners = Array.from({ length: points.length / 6 }, (_, i) => [2 * i, 2 * i + 1, 2 * i + 1]);
    return new Solid(Float64Array.from(points), Uint32Array.from(corners.flat()));
  }

  /** @param {ArrayLike<number>} point (3) */
  static ofPoint(point) {
    return new Solid(Float64Array.from(point), new Uint32Array(3));
  }

  /**
   * @param {Float64Array} middles
   * @param {number} start
   * @param {number} end
   */
  build(middles, start, end) {
    const node = this.nodes.length / 2;
    const box = [Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity];
    for (let i = 3 * start; i < 3 * end; i += 1) {
      const corner = 3 * this.corners[3 * this.order[Math.floor(i / 3)] + (i % 3)];
      for (let k = 0; k < 3; k += 1) {
        box[k] = Math.min(box[k], this.points[corner + k]);
        box[k + 3] = Math.max(box[k + 3], this.points[corner + k]);
      }
    }
    this.boxes.push(...box);
    this.nodes.push(start, end - start);
    if (end - start <= LEAF) return;
    const sizes = [0, 1, 2].map((k) => box[k + 3] - box[k]);
    const axis = sizes.indexOf(Math.max(...sizes));
    this.order
      .subarray(start, end)
      .sort((a, b) => middles[3 * a + axis] - middles[3 * b + axis] || a - b);
    const half = (start + end) >> 1;
    this.build(middles, start, half);
    this.nodes[2 * node] = -1 - this.nodes.length / 2;
    this.nodes[2 * node + 1] = 0;
    this.build(middles, half, end);
  }
}

/**
 * Halve a triangle, and its halves, at the longest side until all sides are short.
 * @param {number[]} points takes the new corners
 * @param {[number, number, number]} corners
 * @param {number[]} out takes the pieces' corners
 */
function halved(points, [a, b, c], out) {
  const [ab, bc, ca] = [side(points, a, b), side(points, b, c), side(points, c, a)];
  const longest = Math.max(ab, bc, ca);
  if (longest <= LONG * LONG) {
    out.push(a, b, c);
    return;
  }
  // Turned so that the first side is the longest.
  const [p, q, r] = longest === ab ? [a, b, c] : longest === bc ? [b, c, a] : [c, a, b];
  const middle = points.length / 3;
  for (let k = 0; k < 3; k += 1) points.push((points[3 * p + k] + points[3 * q + k]) / 2);
  halved(points, [p, middle, r], out);
  halved(points, [middle, q, r], out);
}

/**
 * Square of a side's length.
 * @param {number[]} points
 * @param {number} a
 * @param {number} b
 */
function side(points, a, b) {
  let square = 0;
  for (let k = 0; k < 3; k += 1) square += (points[3 * a + k] - points[3 * b + k]) ** 2;
  return square;
}
