// Creases: the sharp edges of a triangle mesh, and which of them make up one line.

const SHARP = Math.cos((32 * Math.PI) / 180); // faces that turn by more meet at an edge
const STRAIGHT = Math.cos((50 * Math.PI) / 180); // a line goes on where it turns by less
const WELD = 1e-3; // points closer than this are one [mm]

/**
 * @typedef {object} Creases
 * @property {Float32Array} points (n, 2, 3): the two ends of every edge
 * @property {Uint32Array} line (n): edges that run on into each other have the same number
 */

/**
 * @param {ArrayLike<number>} positions (m, 3)
 * @param {ArrayLike<number>} corners (k, 3): the points of every triangle
 * @returns {Creases}
 */
export function creasesOf(positions, corners) {
  const { place, first } = welded(positions);
  const count = corners.length / 3;
  const normals = new Float32Array(3 * count);
  /** @type {Map<number, number>} an edge that has one face so far -> the face */
  const open = new Map();
  /** @type {number[]} */
  const ends = [];
  /**
   * @param {number} a
   * @param {number} b
   * @param {number} face
   */
  const meet = (a, b, face) => {
    const key = a < b ? a * first.length + b : b * first.length + a;
    const other = open.get(key);
    if (other === undefined) {
      open.set(key, face);
      return;
    }
    open.delete(key);
    const [f, g] = [3 * face, 3 * other];
    const turn =
      normals[f] * normals[g] + normals[f + 1] * normals[g + 1] + normals[f + 2] * normals[g + 2];
    if (turn < SHARP) ends.push(a, b);
  };
  for (let face = 0; face < count; face += 1) {
    const a = place[corners[3 * face]];
    const b = place[corners[3 * face + 1]];
    const c = place[corners[3 * face + 2]];
    if (a === b || b === c || c === a) continue;
    faceNormal(positions, 3 * first[a], 3 * first[b], 3 * first[c], normals, 3 * face);
    meet(a, b, face);
    meet(b, c, face);
    meet(c, a, face);
  }
  for (const key of open.keys()) ends.push(Math.floor(key / first.length), key % first.length);

  const points = new Float32Array(3 * ends.length);
  ends.forEach((end, i) => {
    for (let k = 0; k < 3; k += 1) points[3 * i + k] = positions[3 * first[end] + k];
  });
  return { points, line: lines(ends, points) };
}

/**
 * Points that coincide as one.
 * @param {ArrayLike<number>} positions
 * @returns {{place: Uint32Array, first: number[]}} the number of every point's place, and a point of
 *   every place
 */
function welded(positions) {
  const count = positions.length / 3;
  const place = new Uint32Array(count);
  /** @type {number[]} */
  const first = [];
  /** @type {Map<number, number[]>} */
  const cells = new Map();
  const cell = (/** @type {number} */ i, /** @type {number} */ k) =>
    Math.round(positions[3 * i + k] / WELD);
  for (let i = 0; i < count; i += 1) {
    const [x, y, z] = [cell(i, 0), cell(i, 1), cell(i, 2)];
    const key = (Math.imul(x, 73856093) ^ Math.imul(y, 19349663) ^ Math.imul(z, 83492791)) >>> 0;
    const here = cells.get(key);
    const same = here?.find((p) => {
      const q = first[p];
      return cell(q, 0) === x && cell(q, 1) === y && cell(q, 2) === z;
    });
    place[i] = same ?? first.length;
    if (same !== undefined) continue;
    if (here === undefined) cells.set(key, [first.length]);
    else here.push(first.length);
    first.push(i);
  }
  return { place, first };
}

/**
 * @param {ArrayLike<number>} p positions
 * @param {number} a where the first corner's are
 * @param {number} b
 * @param {number} c
 * @param {Float32Array} normals
 * @param {number} at where to put it
 */
function faceNormal(p, a, b, c, normals, at) {
  const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
  const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
  const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
  const size = Math.sqrt(x * x + y * y + z * z) || 1;
  normals[at] = x / size;
  normals[at + 1] = y / size;
  normals[at + 2] = z / size;
}

/**
 * Which edges make up one line: at a point where just two meet without a corner, it goes on.
 * @param {number[]} ends (n, 2) places
 * @param {Float32Array} points (n, 2, 3)
 */
function lines(ends, points) {
  const count = ends.length / 2;
  const line = Uint32Array.from({ length: count }, (_, i) => i);
  const root = (/** @type {number} */ i) => {
    while (line[i] !== i) i = line[i] = line[line[i]];
    return i;
  };
  /** @type {Map<number, number[]>} */
  const meeting = new Map();
  ends.forEach((end, i) => {
    const here = meeting.get(end);
    if (here === undefined) meeting.set(end, [i]);
    else here.push(i);
  });
  for (const here of meeting.values()) {
    if (here.length !== 2) continue;
    const [p, q] = here.map((i) => away(points, i));
    if (-(p[0] * q[0] + p[1] * q[1] + p[2] * q[2]) > STRAIGHT) {
      line[root(here[0] >> 1)] = root(here[1] >> 1);
    }
  }
  return line.map((_, i) => root(i));
}

/**
 * Direction of an edge away from one of its ends.
 * @param {Float32Array} points
 * @param {number} end
 */
function away(points, end) {
  const [a, b] = [3 * end, 3 * (end ^ 1)];
  const d = [0, 1, 2].map((k) => points[b + k] - points[a + k]);
  const size = Math.hypot(d[0], d[1], d[2]) || 1;
  return d.map((x) => x / size);
}
