// Slice: the lines in which a plane cuts a triangle mesh.

/**
 * @param {ArrayLike<number>} positions (n, 3)
 * @param {ArrayLike<number>} corners (m, 3)
 * @param {[number, number, number]} normal of the plane, among the mesh's axes
 * @param {number} constant normal · point + constant = 0 on the plane
 * @returns {number[]} (k, 2, 3): ends of the lines
 */
export function sliced(positions, corners, normal, constant) {
  const [nx, ny, nz] = normal;
  const count = positions.length / 3;
  const height = new Float64Array(count);
  for (let i = 0; i < count; i += 1) {
    height[i] =
      nx * positions[3 * i] + ny * positions[3 * i + 1] + nz * positions[3 * i + 2] + constant;
    if (height[i] === 0) height[i] = 1e-9; // a corner on the plane counts as just beyond it
  }
  /** @type {number[]} */
  const out = [];
  for (let face = 0; face < corners.length; face += 3) {
    const at = [corners[face], corners[face + 1], corners[face + 2]];
    const above = at.filter((i) => height[i] > 0).length;
    if (above === 0 || above === 3) continue;
    for (let k = 0; k < 3; k += 1) {
      const [a, b] = [at[k], at[(k + 1) % 3]];
      if (height[a] > 0 === height[b] > 0) continue;
      const share = height[a] / (height[a] - height[b]);
      for (let m = 0; m < 3; m += 1) {
        out.push(positions[3 * a + m] + share * (positions[3 * b + m] - positions[3 * a + m]));
      }
    }
  }
  return out;
}
