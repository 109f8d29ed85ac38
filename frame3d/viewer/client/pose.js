// Poses: the motion of what a mount carries, from where it is drawn to where it stands.
// The same as `matrix` in frame3d/bodies/motion/pose.py, step by step. Lengths in mm, angles in degrees,
// axes x forward, y left, z up; matrices are 16 numbers, column by column as three.js has them.

/** @typedef {[number, number, number]} Triple */
/** @typedef {Record<string, number>} Pose motion -> mm or degrees; what is not named is 0 */

/**
 * @typedef {object} Step
 * @property {"turn" | "shift" | "circle" | "swing"} kind
 * @property {string} motion
 * @property {Triple} [point]
 * @property {Triple} [axis] unit vector
 * @property {string} [swing] a key of swings
 */

/**
 * @typedef {object} Swing a planar motion over low to high of its motion
 * @property {number} low
 * @property {number} high
 * @property {number[][]} knots evenly spaced rows of x, z [mm], turn [degrees], and their derivatives
 */

/**
 * Steps in order, each from where the one before has put the part.
 * @param {Step[]} steps
 * @param {Pose} pose
 * @param {Record<string, Swing>} swings
 * @returns {number[]}
 */
export function mountMatrix(steps, pose, swings) {
  let total = identity();
  for (const step of steps) {
    total = product(stepMatrix(step, pose[step.motion] ?? 0, swings), total);
  }
  return total;
}

/** @returns {number[]} */
export function identity() {
  return [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1];
}

/**
 * @param {number[]} a
 * @param {number[]} b
 * @returns {number[]} a times b
 */
export function product(a, b) {
  const out = new Array(16).fill(0);
  for (let column = 0; column < 4; column += 1) {
    for (let row = 0; row < 4; row += 1) {
      for (let k = 0; k < 4; k += 1) out[4 * column + row] += a[4 * k + row] * b[4 * column + k];
    }
  }
  return out;
}

/**
 * Where a swing takes the frame's origin: x and z [mm], and its turn nose up [degrees].
 * Cubic Hermite between rows; beyond the ends the last cubic goes on.
 * @param {Swing} swing
 * @param {number} value
 * @returns {Triple}
 */
export function swingAt(swing, value) {
  const rows = swing.knots;
  const step = (swing.high - swing.low) / (rows.length - 1);
  const place = (value - swing.low) / step;
  const span = Math.min(Math.max(Math.floor(place), 0), rows.length - 2);
  const u = place - span;
  const [a, b] = [rows[span], rows[span + 1]];
  const weights = [
    (1 + 2 * u) * (1 - u) ** 2, u * (1 - u) ** 2 * step, u ** 2 * (3 - 2 * u), -(u ** 2) * (1 - u) * step,
  ];
  const at = (/** @type {number} */ i) =>
    a[i] * weights[0] + a[i + 3] * weights[1] + b[i] * weights[2] + b[i + 3] * weights[3];
  return [at(0), at(1), at(2)];
}

/**
 * @param {Step} step
 * @param {number} value
 * @param {Record<string, Swing>} swings
 */
function stepMatrix(step, value, swings) {
  const [x, y, z] = step.axis ?? [0, 0, 0];
  const [px, py, pz] = step.point ?? [0, 0, 0];
  const out = identity();
  if (step.kind === "shift") {
    [out[12], out[13], out[14]] = [value * x, value * y, value * z];
    return out;
  }
  if (step.kind === "swing") {
    const [dx, dz, turn] = swingAt(swings[step.swing ?? ""], value);
    const [c, s] = [Math.cos(radians(turn)), Math.sin(radians(turn))];
    [out[0], out[8], out[12]] = [c, -s, dx];
    [out[2], out[10], out[14]] = [s, c, dz];
    return out;
  }
  const [c, s] = [Math.cos(radians(value)), Math.sin(radians(value))];
  if (step.kind === "circle") {
    [out[12], out[14]] = [px * c, -px * s];
    return out;
  }
  // A turn about an axis through a point: Rodrigues' formula.
  const k = 1 - c;
  const rows = [
    [c + k * x * x, k * x * y - s * z, k * x * z + s * y],
    [k * x * y + s * z, c + k * y * y, k * y * z - s * x],
    [k * x * z - s * y, k * y * z + s * x, c + k * z * z],
  ];
  rows.forEach(([a, b, d], i) => {
    [out[i], out[4 + i], out[8 + i]] = [a, b, d];
    out[12 + i] = [px, py, pz][i] - (a * px + b * py + d * pz);
  });
  return out;
}

/** @param {number} degrees */
function radians(degrees) {
  return (degrees * Math.PI) / 180;
}
