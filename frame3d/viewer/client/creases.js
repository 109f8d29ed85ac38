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
  // Edges by the lower of their two places, each with a face, in chains; -1 ends a chain, and stands
  // for the face of an edge whose second face has been met.
  const chain = new Int32Array(first.length).fill(-1);
  const next = new Int32Array(3 * count);
  const upper = new Uint32Array(3 * count);
  const lower = new Uint32Array(3 * count);
  const owner = new Int32Array(3 * count);
  let edges = 0;
  /** @type {number[]} */
  const ends = [];
  /**
   * @param {number} a
   * @param {number} b
   * @param {number} face
   */
  const meet = (a, b, face) => {
    const [low, high] = a < b ? [a, b] : [b, a];
    let at = chain[low];
    while (at >= 0 && (upper[at] !== high || owner[at] < 0)) at = next[at];
    if (at < 0) {
      lower[edges] = low;
      upper[edges] = high;
      owner[edges] = face;
      next[edges] = chain[low];
      chain[low] = edges;
      edges += 1;
      return;
    }
    const [f, g] = [3 * face, 3 * owner[at]];
    owner[at] = -1;
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
  for (let i = 0; i < edges; i += 1) if (owner[i] >= 0) ends.push(lower[i], upper[i]);

  const points = new Float32Array(3 * ends.length);
  ends.forEach((end, i) => {
    for (let k = 0; k < 3; k += 1) points[3 * i + k] = positions[3 * first[end] + k];
  });
  return creasesFrom(points, ends);
}

/**
 * Sharp edges that are known.
 * @param {Float32Array} points (n, 2, 3)
 * @param {ArrayLike<number>} ends (n, 2): numbers of the places; edges meet where they share one
 * @returns {Creases}
 */
export function creasesFrom(points, ends) {
  /** @type {Uint32Array | undefined} */
  let line;
  return {
    points,
    // Asked for only where edges are measured.
    get line() {
      line = line ?? lines(ends, points);
      return line;
    },
  };
}

/**
 * Points that coincide as one.
 * @param {ArrayLike<number>} positions
 * @returns {{place: Uint32Array, first: number[]}} the number of every point's place, and a point of
 *   every place
 */
function welded(positions) {
  const count = positions.length / 3;
  const cells = new Int32Array(3 * count);
  for (let i = 0; i < 3 * count; i += 1) cells[i] = Math.round(positions[i] / WELD);
  const place = new Uint32Array(count);
  /** @type {number[]} */
  const first = [];
  // A table of places by their cells, half empty; where two fall together the later goes to the next.
  const size = 2 ** Math.ceil(Math.log2(2 * count + 1));
  const table = new Int32Array(size).fill(-1);
  for (let i = 0; i < count; i += 1) {
    const [x, y, z] = [cells[3 * i], cells[3 * i + 1], cells[3 * i + 2]];
    let at = (Math.imul(x, 73856093) ^ Math.imul(y, 19349663) ^ Math.imul(z, 83492791)) & (size - 1);
    for (;;) {
      const known = table[at];
      if (known < 0) {
        table[at] = place[i] = first.length;
        first.push(i);
        break;
      }
      const q = 3 * first[known];
      if (cells[q] === x && cells[q + 1] === y && cells[q + 2] === z) {
        place[i] = known;
        break;
      }
      at = (at + 1) & (size - 1);
    }
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
 * @param {ArrayLike<number>} ends (n, 2) places
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
  for (let i = 0; i < ends.length; i += 1) {
    const here = meeting.get(ends[i]);
    if (here === undefined) meeting.set(ends[i], [i]);
    else here.push(i);
  }
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
