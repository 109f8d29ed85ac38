// Approach: from where to look at the two points of a check.

const LEAST = 220; // height of the picture there, at least [mm]
const ROOM = 8; // times the gap

/**
 * Look at a check's points from where the line between them is seen square on, and neither of the
 * two parts covers it.
 * @param {import("./model.js").Model} model stands in the check's pose
 * @param {import("three").Matrix4} bike
 * @param {import("./eye.js").Eye} eye
 * @param {import("./pick.js").Picker} picker
 * @param {import("./gaps.js").CheckData} check
 */
export function approach(model, bike, eye, picker, check) {
  const { Vector3 } = model.kit.THREE;
  const ends = (check.points ?? []).map((at) => new Vector3(...at).applyMatrix4(bike));
  if (ends.length < 2) return;
  const [p, q] = ends;
  const line = q.clone().sub(p);
  const length = line.length();
  if (length > 0) line.divideScalar(length);
  const middle = p.clone().add(q).multiplyScalar(0.5);
  const parts = (check.between ?? []).flatMap((name) => model.parts.get(name) ?? []);
  const now = eye.camera.position.clone().sub(eye.target).normalize();
  const rated = directions(model.kit.THREE).map((way) => {
    const square = Math.sqrt(Math.max(1 - way.dot(line) ** 2, 0));
    const free = picker.covered(parts, middle, way) ? 0 : 1;
    // The rest being equal, from close to where the eye is, and from above.
    return { way, worth: square + free + 0.25 * way.dot(now) + 0.1 * way.z };
  });
  const best = rated.reduce((a, b) => (b.worth > a.worth ? b : a));
  eye.look(ends, best.way, { least: Math.max(ROOM * length, LEAST), margin: 0.3 });
}

/**
 * Ways to look from: the sides, edges and corners of a cube.
 * @param {import("three")} THREE
 */
function directions(THREE) {
  const steps = [-1, 0, 1];
  return steps.flatMap((x) =>
    steps.flatMap((y) =>
      steps
        .filter((z) => x !== 0 || y !== 0 || z !== 0)
        .map((z) => new THREE.Vector3(x === 0 && y === 0 ? 1e-3 : x, y, z).normalize()),
    ),
  );
}
