// Level: the pitch that puts both wheels on level ground, as the suspension moves.

/**
 * A tyre as a ring in its drawn place.
 * @typedef {object} Ring
 * @property {import("./part.js").Part} part
 * @property {import("three").Vector3} centre
 * @property {number} radius of its middle line [mm]
 * @property {number} tube radius of the ring itself [mm]
 */

/**
 * The motion of the whole bike onto the ground: about the rear wheel's contact, until the front
 * wheel's lowest point is as low.
 * @param {import("./model.js").Model} model
 * @returns {import("three").Matrix4} nothing moves where there are not two wheels
 */
export function onGround(model) {
  const { Matrix4 } = model.kit.THREE;
  const out = new Matrix4();
  const [rear, front] = ["rear_wheel", "front_wheel"].map((group) => ring(model, group));
  if (rear === null || front === null) return out;
  const ground = rear.centre.z - rear.radius - rear.tube;
  for (let round = 0; round < 6; round += 1) {
    const [a, b] = [lowest(rear, out), lowest(front, out)];
    const pitch = Math.atan2(b.z - a.z, b.x - a.x);
    out.premultiply(new Matrix4().makeTranslation(-a.x, 0, -a.z));
    out.premultiply(new Matrix4().makeRotationY(pitch));
    out.premultiply(new Matrix4().makeTranslation(a.x, 0, ground));
  }
  return out;
}

/**
 * The tyre of a wheel.
 * @param {import("./model.js").Model} model
 * @param {string} group
 * @returns {Ring | null}
 */
function ring(model, group) {
  const part = model.all.find(
    (each) => each.data.group === group && each.name.includes("tyre"),
  );
  const box = part?.geometry.boundingBox;
  if (part === undefined || box === null || box === undefined) return null;
  const size = box.getSize(box.min.clone());
  const tube = size.y / 2;
  return { part, centre: box.getCenter(box.min.clone()), radius: size.z / 2 - tube, tube };
}

/**
 * The lowest point of a ring as it stands.
 * @param {Ring} ring
 * @param {import("three").Matrix4} bike
 */
function lowest({ part, centre, radius, tube }, bike) {
  const place = bike.clone().multiply(part.object.matrix);
  const axis = centre.clone().set(0, 1, 0).transformDirection(place);
  const down = centre.clone().set(0, 0, -1).addScaledVector(axis, axis.z).normalize();
  const at = centre.clone().applyMatrix4(place).addScaledVector(down, radius);
  at.z -= tube;
  return at;
}
