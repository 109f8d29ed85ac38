// Finer: a mesh with no long edges, for what bends: straight tubes have corners at their ends only.

/**
 * Halve every edge that is too long, and its halves. Both triangles at an edge halve it alike, so the
 * surface stays closed.
 * @param {ArrayLike<number>} positions (n, 3) [mm]
 * @param {ArrayLike<number>} normals (n, 3)
 * @param {ArrayLike<number>} corners (m, 3)
 * @param {number} longest [mm]
 * @returns {{positions: number[], normals: number[], corners: number[]}}
 */
export function finer(positions, normals, corners, longest) {
  const [points, ways] = [Array.from(positions), Array.from(normals)];
  /** @type {Map<number, number>} middle of an edge by its two ends */
  const middles = new Map();
  /** @param {number} a @param {number} b */
  const middle = (a, b) => {
    const key = Math.min(a, b) * 2 ** 26 + Math.max(a, b);
    const known = middles.get(key);
    if (known !== undefined) return known;
    const made = points.length / 3;
    for (let k = 0; k < 3; k += 1) points.push((points[3 * a + k] + points[3 * b + k]) / 2);
    const way = [0, 1, 2].map((k) => ways[3 * a + k] + ways[3 * b + k]);
    const size = Math.hypot(...way) || 1;
    for (const x of way) ways.push(x / size);
    middles.set(key, made);
    return made;
  };
  /** @param {number} a @param {number} b */
  const long = (a, b) => Math.hypot(
    points[3 * a] - points[3 * b],
    points[3 * a + 1] - points[3 * b + 1],
    points[3 * a + 2] - points[3 * b + 2],
  );
  /** @type {number[]} */
  const made = [];
  const waiting = Array.from(corners);
  while (waiting.length > 0) {
    const [a, b, c] = waiting.splice(-3);
    const sides = [long(a, b), long(b, c), long(c, a)];
    const most = Math.max(...sides);
    if (most <= longest) {
      made.push(a, b, c);
      continue;
    }
    // Turned so that the first side is the longest.
    const [p, q, r] = most === sides[0] ? [a, b, c] : most === sides[1] ? [b, c, a] : [c, a, b];
    const m = middle(p, q);
    waiting.push(p, m, r, m, q, r);
  }
  return { positions: points, normals: ways, corners: made };
}

/**
 * Lines with no long pieces.
 * @param {ArrayLike<number>} points (n, 2, 3) [mm]
 * @param {number} longest [mm]
 * @returns {number[]} (m, 2, 3)
 */
export function finerLines(points, longest) {
  /** @type {number[]} */
  const made = [];
  for (let i = 0; i < points.length; i += 6) {
    const a = [points[i], points[i + 1], points[i + 2]];
    const way = [0, 1, 2].map((k) => points[i + 3 + k] - a[k]);
    const count = Math.max(Math.ceil(Math.hypot(...way) / longest), 1);
    for (let piece = 0; piece < count; piece += 1) {
      for (const share of [piece / count, (piece + 1) / count]) {
        made.push(...a.map((x, k) => x + share * way[k]));
      }
    }
  }
  return made;
}
