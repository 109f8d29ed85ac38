// Views: standard directions to look from, and how much a picture has to take in.

/** @typedef {import("./pose.js").Triple} Triple */

/** @typedef {"side" | "left" | "front" | "rear" | "top" | "bottom" | "iso"} View */

/**
 * From what is looked at toward the eye; x forward, y left, z up. The drive side is the right.
 * @type {Record<View, Triple>}
 */
export const VIEWS = {
  side: [0, -1, 0],
  left: [0, 1, 0],
  front: [1, 0, 0],
  rear: [-1, 0, 0],
  // Not quite upright, so that the front stays at the right.
  top: [0, -1e-4, 1],
  bottom: [0, -1e-4, -1],
  iso: [0.58, -1, 0.3],
};

/**
 * Where to look, and how far from, so that points fill a picture.
 * @param {import("three")} THREE
 * @param {import("three").Vector3[]} points
 * @param {import("three").Vector3} direction toward the eye
 * @param {{aspect: number, fov: number, perspective: boolean}} lens fov: of the height [degrees]
 * @param {number} margin share of the picture to leave free at each side
 * @returns {{target: import("three").Vector3, distance: number}} distance for the lens, whose height
 *   at the target is the picture's in both projections
 */
export function framed(THREE, points, direction, lens, margin) {
  const [right, up, toward] = [new THREE.Vector3(), new THREE.Vector3(), direction.clone()];
  new THREE.Matrix4().lookAt(direction, new THREE.Vector3(), new THREE.Vector3(0, 0, 1))
    .extractBasis(right, up, toward);
  const tangent = Math.tan((lens.fov * Math.PI) / 360);
  const [high, wide] = [tangent * (1 - 2 * margin), tangent * lens.aspect * (1 - 2 * margin)];
  /** @param {import("three").Vector3} axis */
  const range = (axis) => {
    const along = points.map((point) => point.dot(axis));
    return [Math.min(...along), Math.max(...along)];
  };
  const spans = [right, up, toward].map(range);
  const middle = spans.map(([low, top]) => (low + top) / 2);
  if (lens.perspective) {
    // Shift the middle so that what is near, and so large, has as much room as what is far.
    for (let round = 0; round < 6; round += 1) {
      const distance = needed(points, [right, up, toward], middle, high, wide);
      [right, up].forEach((axis, i) => {
        const seen = points.map(
          (point) =>
            (point.dot(axis) - middle[i]) / (distance - (point.dot(toward) - middle[2])),
        );
        middle[i] += (distance * (Math.min(...seen) + Math.max(...seen))) / 2;
      });
    }
  }
  const target = new THREE.Vector3();
  [right, up, toward].forEach((axis, i) => target.addScaledVector(axis, middle[i]));
  const distance = lens.perspective
    ? needed(points, [right, up, toward], middle, high, wide)
    : Math.max((spans[0][1] - spans[0][0]) / 2 / wide, (spans[1][1] - spans[1][0]) / 2 / high);
  return { target, distance: Math.max(distance, 1) };
}

/**
 * How far off the eye has to be to see all points.
 * @param {import("three").Vector3[]} points
 * @param {import("three").Vector3[]} axes
 * @param {number[]} middle
 * @param {number} high
 * @param {number} wide
 */
function needed(points, axes, middle, high, wide) {
  return Math.max(
    ...points.map((point) => {
      const [x, y, z] = axes.map((axis, i) => point.dot(axis) - middle[i]);
      return z + Math.max(Math.abs(x) / wide, Math.abs(y) / high);
    }),
  );
}
