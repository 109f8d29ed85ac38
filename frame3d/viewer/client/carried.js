// Carried: where the corners of a tube's mesh go as its axis bends and its sections turn.

import { cross, dot, minus } from "./triangles.js";

/** @typedef {[number, number, number]} Spot */

/**
 * Strands that a part follows: each a row of places along an axis, with their motion; one place alone
 * carries as a rigid body.
 * @typedef {object} Strand
 * @property {number[]} at x, y, z of its places one after another [mm]
 * @property {number[]} moved displacement [mm] and rotation [rad] of each, six numbers
 */

/**
 * Carries points with the nearest place of the nearest strand. Between two places the displacement is
 * the cubic that leaves both as their sections are turned, and the turn changes evenly.
 * @param {Strand[]} strands
 * @returns {(point: Spot, along?: Spot) => [Spot, Spot]} where a point goes, and how a direction there
 *   is turned
 */
export function carrier(strands) {
  return (point, along = [0, 0, 0]) => {
    const { strand, i, share, foot } = nearestOn(strands, point);
    const [shift, turn] = motionOn(strand, i, share);
    const moved = turnedBy(turn, minus(point, foot));
    const at = /** @type {Spot} */ (foot.map((x, k) => x + shift[k] + moved[k]));
    return [at, turnedBy(turn, along)];
  };
}

/**
 * The nearest place of all strands; plain numbers, as it is asked for each corner of a mesh.
 * @param {Strand[]} strands
 * @param {Spot} point
 */
function nearestOn(strands, [x, y, z]) {
  let [strand, i, share, least] = [strands[0], 0, 0, Infinity];
  for (const one of strands) {
    const { at } = one;
    const end = Math.max(at.length - 3, 3);
    for (let k = 0; k < end; k += 3) {
      const [px, py, pz] = [x - at[k], y - at[k + 1], z - at[k + 2]];
      let [wx, wy, wz] = [0, 0, 0];
      if (at.length > 3) [wx, wy, wz] = [at[k + 3] - at[k], at[k + 4] - at[k + 1], at[k + 5] - at[k + 2]];
      const long = wx * wx + wy * wy + wz * wz;
      const here = long === 0 ? 0 : Math.min(Math.max((px * wx + py * wy + pz * wz) / long, 0), 1);
      const far = (px - here * wx) ** 2 + (py - here * wy) ** 2 + (pz - here * wz) ** 2;
      if (far < least) [strand, i, share, least] = [one, k / 3, here, far];
    }
  }
  const a = placeOf(strand.at, i);
  const b = share === 0 ? a : placeOf(strand.at, i + 1);
  return { strand, i, share, foot: spotOf(a.map((v, k) => v + share * (b[k] - v)), 0) };
}

/**
 * Displacement and rotation on a strand between places i and i + 1.
 * @param {Strand} strand
 * @param {number} i
 * @param {number} u share of the way
 * @returns {[Spot, Spot]}
 */
function motionOn({ at, moved }, i, u) {
  const a = moved.slice(6 * i, 6 * i + 6);
  if (u === 0) return [spotOf(a, 0), spotOf(a, 3)];
  const b = moved.slice(6 * i + 6, 6 * i + 12);
  const way = minus(placeOf(at, i + 1), placeOf(at, i));
  const [from, to] = [cross(spotOf(a, 3), way), cross(spotOf(b, 3), way)];
  const [h00, h10] = [(1 + 2 * u) * (1 - u) ** 2, u * (1 - u) ** 2];
  const [h01, h11] = [u * u * (3 - 2 * u), u * u * (u - 1)];
  const mixed = [0, 1, 2].map((k) => h00 * a[k] + h10 * from[k] + h01 * b[k] + h11 * to[k]);
  const turn = [3, 4, 5].map((k) => a[k] + u * (b[k] - a[k]));
  return [spotOf(mixed, 0), spotOf(turn, 0)];
}

/**
 * Turned about an axis by the length of a vector [rad] (Rodrigues' formula): exaggerated as they are,
 * sections stay as large as they are.
 * @param {Spot} turn
 * @param {Spot} v
 * @returns {Spot}
 */
function turnedBy(turn, v) {
  const angle = Math.sqrt(dot(turn, turn));
  if (angle < 1e-9) return v;
  const axis = spotOf(turn.map((x) => x / angle), 0);
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const side = cross(axis, v);
  const along = dot(axis, v) * (1 - c);
  return spotOf(v.map((x, k) => c * x + s * side[k] + along * axis[k]), 0);
}

/**
 * @param {number[]} flat
 * @param {number} i
 */
function placeOf(flat, i) {
  return spotOf(flat, 3 * i);
}

/**
 * Three numbers of a row.
 * @param {ArrayLike<number>} flat
 * @param {number} from
 * @returns {Spot}
 */
export function spotOf(flat, from) {
  return [flat[from], flat[from + 1], flat[from + 2]];
}
