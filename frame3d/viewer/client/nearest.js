// Nearest: the two nearest points of two solids, exact for their triangles.

import { closestOfSegments, closestOnTriangle, minus, pierces } from "./triangles.js";

/** @typedef {import("./pose.js").Triple} Triple */

/**
 * @typedef {object} Nearest
 * @property {number} distance 0 where the solids' surfaces meet
 * @property {Triple} p on the first
 * @property {Triple} q on the second
 */

const FINE = 1e-4; // how far the result may be above the smallest distance [mm]
const BETTER = 0.97; // a result that is this much smaller gives a new direction to look along

/**
 * Branch and bound over the boxes of both trees. Two boxes are at least as far apart as they are
 * along any direction; along that of the best result so far, what they hold mostly proves at once
 * that it is no nearer.
 * @param {import("./solid.js").Solid} a
 * @param {import("./solid.js").Solid} b
 * @param {number[]} place of b among a's axes, 16 numbers column by column
 * @returns {Nearest} in a's axes
 */
export function nearest(a, b, place) {
  const moved = movedPoints(b.points, place);
  const boxes = movedBoxes(b.boxes, place);
  /** @type {Nearest} */
  const best = { distance: Infinity, p: [0, 0, 0], q: [0, 0, 0] };
  let tried = Infinity;
  /** @type {[Reach, Reach] | null} */
  let along = null;
  /** @type {[number, number, number][]} a lower bound, box of a, box of b */
  const stack = [[0, 0, 0]];
  while (stack.length > 0) {
    const [low, i, j] = /** @type {[number, number, number]} */ (stack.pop());
    const limit = best.distance - FINE;
    if (low >= limit) continue;
    if (along !== null && along[1].boxes[2 * j] - along[0].boxes[2 * i + 1] >= limit) continue;
    const [leafA, leafB] = [a.nodes[2 * i] >= 0, b.nodes[2 * j] >= 0];
    if (leafA && leafB) {
      compare(a, i, b, j, moved, along, best);
      if (best.distance > 0 && best.distance < BETTER * tried) {
        tried = best.distance;
        const way = /** @type {Triple} */ (minus(best.q, best.p).map((x) => x / best.distance));
        along = [reach(a, a.points, way), reach(b, moved, way)];
      }
      continue;
    }
    // Open the larger box; look at its nearer half first.
    const first = !leafA && (leafB || extent(a.boxes, i) >= extent(boxes, j));
    const children = first
      ? [[i + 1, j], [-1 - a.nodes[2 * i], j]]
      : [[i, j + 1], [i, -1 - b.nodes[2 * j]]];
    const pairs = children.map(
      ([m, n]) => /** @type {[number, number, number]} */ ([apart(a.boxes, m, boxes, n), m, n]),
    );
    stack.push(...pairs.sort((one, other) => other[0] - one[0]));
  }
  return best;
}

/**
 * @typedef {object} Reach how far all lies along a direction
 * @property {Float64Array} points
 * @property {Float64Array} boxes lowest and highest of what each box holds
 */

/**
 * @param {import("./solid.js").Solid} solid
 * @param {Float64Array} points of it, moved or not
 * @param {Triple} way
 * @returns {Reach}
 */
function reach(solid, points, way) {
  const { nodes, order, corners } = solid;
  const height = new Float64Array(points.length / 3);
  for (let i = 0; i < height.length; i += 1) {
    height[i] = way[0] * points[3 * i] + way[1] * points[3 * i + 1] + way[2] * points[3 * i + 2];
  }
  const out = new Float64Array(nodes.length);
  // Children come after their parents.
  for (let node = nodes.length / 2 - 1; node >= 0; node -= 1) {
    let [low, high] = [Infinity, -Infinity];
    const start = nodes[2 * node];
    if (start < 0) {
      const [one, other] = [2 * (node + 1), 2 * (-1 - start)];
      low = Math.min(out[one], out[other]);
      high = Math.max(out[one + 1], out[other + 1]);
    } else {
      for (let i = 3 * start; i < 3 * (start + nodes[2 * node + 1]); i += 1) {
        const at = height[corners[3 * order[Math.floor(i / 3)] + (i % 3)]];
        low = Math.min(low, at);
        high = Math.max(high, at);
      }
    }
    out[2 * node] = low;
    out[2 * node + 1] = high;
  }
  return { points: height, boxes: out };
}

/**
 * Every piece of one leaf against every piece of another.
 * @param {import("./solid.js").Solid} a
 * @param {number} i
 * @param {import("./solid.js").Solid} b
 * @param {number} j
 * @param {Float64Array} moved
 * @param {[Reach, Reach] | null} along
 * @param {Nearest} best
 */
function compare(a, i, b, j, moved, along, best) {
  for (let m = a.nodes[2 * i]; m < a.nodes[2 * i] + a.nodes[2 * i + 1]; m += 1) {
    const one = triangle(a.points, a.corners, a.order[m]);
    const top = along === null ? 0 : ends(along[0].points, a.corners, a.order[m], Math.max);
    for (let n = b.nodes[2 * j]; n < b.nodes[2 * j] + b.nodes[2 * j + 1]; n += 1) {
      const least = along === null ? 0 : ends(along[1].points, b.corners, b.order[n], Math.min) - top;
      if (least >= best.distance - FINE) continue;
      const other = triangle(moved, b.corners, b.order[n]);
      if (far(one, other, best.distance)) continue;
      for (const [p, q] of candidates(one, other)) {
        const distance = Math.hypot(...minus(p, q));
        if (distance < best.distance) Object.assign(best, { distance, p, q });
      }
    }
  }
}

/**
 * The lowest or the highest of a piece's corners along the direction.
 * @param {Float64Array} height
 * @param {Uint32Array} corners
 * @param {number} face
 * @param {(a: number, b: number, c: number) => number} pick
 */
function ends(height, corners, face, pick) {
  return pick(
    height[corners[3 * face]], height[corners[3 * face + 1]], height[corners[3 * face + 2]],
  );
}

/**
 * Pairs of points among which the nearest of two pieces are: those of their sides, and of a corner
 * and a face; one point twice where a side goes through a face.
 * @param {Triple[]} one
 * @param {Triple[]} other
 * @returns {Generator<[Triple, Triple]>}
 */
function* candidates(one, other) {
  const [sidesA, sidesB] = [sides(one), sides(other)];
  for (const [a, b] of sidesA) for (const [c, d] of sidesB) yield closestOfSegments(a, b, c, d);
  if (one.length === 3) {
    for (const point of other) yield [closestOnTriangle(point, one), point];
    for (const [c, d] of sidesB) {
      const at = pierces(c, d, one);
      if (at !== null) yield [at, at];
    }
  }
  if (other.length === 3) {
    for (const point of one) yield [point, closestOnTriangle(point, other)];
    for (const [a, b] of sidesA) {
      const at = pierces(a, b, other);
      if (at !== null) yield [at, at];
    }
  }
}

/**
 * @param {Triple[]} piece
 * @returns {[Triple, Triple][]}
 */
function sides(piece) {
  if (piece.length < 3) return [[piece[0], piece[piece.length - 1]]];
  return [[piece[0], piece[1]], [piece[1], piece[2]], [piece[2], piece[0]]];
}

/**
 * @param {Float64Array} points
 * @param {Uint32Array} corners
 * @param {number} face
 * @returns {Triple[]} one to three points
 */
function triangle(points, corners, face) {
  const [a, b, c] = [corners[3 * face], corners[3 * face + 1], corners[3 * face + 2]];
  const used = a === b ? [a] : b === c ? [a, b] : [a, b, c];
  return used.map((i) => [points[3 * i], points[3 * i + 1], points[3 * i + 2]]);
}

/**
 * Whether the boxes of two pieces are further apart than that.
 * @param {Triple[]} one
 * @param {Triple[]} other
 * @param {number} distance
 */
function far(one, other, distance) {
  let square = 0;
  for (let k = 0; k < 3; k += 1) {
    let [lowA, highA, lowB, highB] = [Infinity, -Infinity, Infinity, -Infinity];
    for (const p of one) {
      lowA = Math.min(lowA, p[k]);
      highA = Math.max(highA, p[k]);
    }
    for (const p of other) {
      lowB = Math.min(lowB, p[k]);
      highB = Math.max(highB, p[k]);
    }
    square += Math.max(lowA - highB, lowB - highA, 0) ** 2;
  }
  return square >= distance * distance;
}

/**
 * Distance of two boxes.
 * @param {ArrayLike<number>} a
 * @param {number} i
 * @param {ArrayLike<number>} b
 * @param {number} j
 */
function apart(a, i, b, j) {
  let square = 0;
  for (let k = 0; k < 3; k += 1) {
    const gap = Math.max(a[6 * i + k] - b[6 * j + k + 3], b[6 * j + k] - a[6 * i + k + 3], 0);
    square += gap * gap;
  }
  return Math.sqrt(square);
}

/**
 * @param {ArrayLike<number>} boxes
 * @param {number} i
 */
function extent(boxes, i) {
  return Math.max(...[0, 1, 2].map((k) => boxes[6 * i + k + 3] - boxes[6 * i + k]));
}

/**
 * @param {Float64Array} points
 * @param {number[]} m
 */
function movedPoints(points, m) {
  const out = new Float64Array(points.length);
  for (let i = 0; i < points.length; i += 3) {
    const [x, y, z] = [points[i], points[i + 1], points[i + 2]];
    for (let k = 0; k < 3; k += 1) out[i + k] = m[k] * x + m[4 + k] * y + m[8 + k] * z + m[12 + k];
  }
  return out;
}

/**
 * Boxes around moved boxes.
 * @param {number[]} boxes
 * @param {number[]} m
 */
function movedBoxes(boxes, m) {
  const out = new Float64Array(boxes.length);
  for (let i = 0; i < boxes.length; i += 6) {
    const middle = [0, 1, 2].map((k) => (boxes[i + k] + boxes[i + k + 3]) / 2);
    const half = [0, 1, 2].map((k) => (boxes[i + k + 3] - boxes[i + k]) / 2);
    for (let k = 0; k < 3; k += 1) {
      let [at, reach] = [m[12 + k], 0];
      for (let l = 0; l < 3; l += 1) {
        at += m[4 * l + k] * middle[l];
        reach += Math.abs(m[4 * l + k]) * half[l];
      }
      [out[i + k], out[i + k + 3]] = [at - reach, at + reach];
    }
  }
  return out;
}
