// Triangles: nearest points of segments and triangles (after Christer Ericson, Real-Time Collision
// Detection, 2005, sections 5.1.5, 5.1.9 and 5.3.6; from memory).

/** @typedef {import("./pose.js").Triple} Triple */

/**
 * @param {Triple} a
 * @param {Triple} b
 * @returns {Triple}
 */
export function minus(a, b) {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

/**
 * @param {Triple} a
 * @param {Triple} b
 */
export function dot(a, b) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/**
 * @param {Triple} a
 * @param {Triple} b
 * @returns {Triple}
 */
export function cross(a, b) {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

/**
 * @param {Triple} a
 * @param {Triple} along
 * @param {number} share
 * @returns {Triple}
 */
function ahead(a, along, share) {
  return [a[0] + share * along[0], a[1] + share * along[1], a[2] + share * along[2]];
}

/** @param {number} value */
function within(value) {
  return Math.min(Math.max(value, 0), 1);
}

/**
 * Nearest points of the segments a-b and c-d; either may be a point.
 * @param {Triple} a
 * @param {Triple} b
 * @param {Triple} c
 * @param {Triple} d
 * @returns {[Triple, Triple]}
 */
export function closestOfSegments(a, b, c, d) {
  const [u, v, w] = [minus(b, a), minus(d, c), minus(a, c)];
  const [uu, vv, vw, uw, uv] = [dot(u, u), dot(v, v), dot(v, w), dot(u, w), dot(u, v)];
  let [s, t] = [0, 0];
  if (uu === 0) t = vv === 0 ? 0 : within(vw / vv);
  else if (vv === 0) s = within(-uw / uu);
  else {
    const square = uu * vv - uv * uv;
    s = square > 1e-12 * uu * vv ? within((uv * vw - uw * vv) / square) : 0;
    t = (uv * s + vw) / vv;
    if (t < 0) [t, s] = [0, within(-uw / uu)];
    else if (t > 1) [t, s] = [1, within((uv - uw) / uu)];
  }
  return [ahead(a, u, s), ahead(c, v, t)];
}

/**
 * The point of a triangle that is nearest to a point.
 * @param {Triple} p
 * @param {Triple[]} corners
 * @returns {Triple}
 */
export function closestOnTriangle(p, [a, b, c]) {
  const [u, v] = [minus(b, a), minus(c, a)];
  const normal = cross(u, v);
  const square = dot(normal, normal);
  if (square > 0) {
    // Shares of b and c at the foot of the perpendicular.
    const w = minus(p, a);
    const [s, t] = [dot(cross(w, v), normal) / square, dot(cross(u, w), normal) / square];
    if (s >= 0 && t >= 0 && s + t <= 1) return ahead(ahead(a, u, s), v, t);
  }
  /** @type {[Triple, Triple][]} */
  const sides = [[a, b], [b, c], [c, a]];
  const feet = sides.map(([from, to]) => closestOfSegments(from, to, p, p)[0]);
  const far = feet.map((foot) => dot(minus(foot, p), minus(foot, p)));
  return feet[far.indexOf(Math.min(...far))];
}

/**
 * Where a segment goes through a triangle.
 * @param {Triple} from
 * @param {Triple} to
 * @param {Triple[]} corners
 * @returns {Triple | null}
 */
export function pierces(from, to, [a, b, c]) {
  const [u, v, along] = [minus(b, a), minus(c, a), minus(to, from)];
  const normal = cross(u, v);
  const slope = dot(normal, along);
  if (slope === 0) return null;
  const share = dot(normal, minus(a, from)) / slope;
  if (share < 0 || share > 1) return null;
  const at = ahead(from, along, share);
  const [w, square] = [minus(at, a), dot(normal, normal)];
  const [s, t] = [dot(cross(w, v), normal) / square, dot(cross(u, w), normal) / square];
  return s >= 0 && t >= 0 && s + t <= 1 ? at : null;
}
