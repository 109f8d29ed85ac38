// Level: the pitch that puts both wheels on level ground, as the suspension moves.

const LEVEL_ROUNDS = 20;
const LEVEL_ENOUGH = 1e-9; // [radians]

/**
 * A wheel as a ring: what rolls is as far from the axle as the solver's radius.
 * @typedef {object} Ring
 * @property {import("three").Matrix4} place from where it is drawn to where it stands in the frame
 * @property {import("three").Vector3} centre as drawn
 * @property {number} radius of its middle line [mm]
 * @property {number} tube radius of the ring itself [mm]
 */

/**
 * How the bike stands on level ground in its pose.
 * @typedef {object} Standing
 * @property {number[]} matrix of the whole bike, column by column
 * @property {number[]} rear where the rear wheel touches the ground [mm]
 * @property {number[]} front where the front wheel does [mm]
 * @property {number[]} rearAxle
 * @property {number[]} frontAxle
 * @property {number[]} across direction of the front axle
 * @property {number[]} bottomBracket
 */

/**
 * The motion of the whole bike onto the ground: about the rear wheel's contact, until the front
 * wheel's lowest point is as low.
 * @param {import("./model.js").Model} model
 * @returns {import("three").Matrix4} nothing moves where there are not two wheels
 */
export function onGround(model) {
  const rings = ringsOf(model);
  return rings === null ? new model.kit.THREE.Matrix4() : settled(model, rings);
}

/**
 * How a ghost is moved within the bike: where the wheels stay on the ground, its own do too, on the
 * same ground.
 * @param {import("./model.js").Model} model
 * @param {import("./model.js").Model} ghost
 * @param {boolean} levelled whether the wheels stay on the ground
 */
export function ghostPlace(model, ghost, levelled) {
  const { Matrix4 } = model.kit.THREE;
  const [own, other] = [standing(model), standing(ghost)];
  if (!levelled || own === null || other === null) return new Matrix4();
  const level = new Matrix4().makeTranslation(0, 0, own.rear[2] - other.rear[2]);
  return onGround(model).invert().multiply(level).multiply(new Matrix4().fromArray(other.matrix));
}

/**
 * @param {import("./model.js").Model} model
 * @returns {Standing | null} null where there are not two wheels
 */
export function standing(model) {
  const rings = ringsOf(model);
  if (rings === null) return null;
  const bike = settled(model, rings);
  const [rear, front] = rings;
  const [rearAxle, frontAxle] = rings.map((ring) =>
    ring.centre.clone().applyMatrix4(ring.place).applyMatrix4(bike).toArray());
  const across = front.centre.clone().set(0, 1, 0)
    .transformDirection(bike.clone().multiply(front.place)).toArray();
  const held = model.data.stand?.bottom_bracket.mount ?? "frame";
  const bottomBracket = front.centre.clone().set(0, 0, 0)
    .applyMatrix4(new model.kit.THREE.Matrix4().fromArray(model.matrixOf(held, model.pose ?? {})))
    .applyMatrix4(bike).toArray();
  return {
    matrix: bike.toArray(), rearAxle, frontAxle, across, bottomBracket,
    rear: lowest(rear, bike).toArray(), front: lowest(front, bike).toArray(),
  };
}

/**
 * @param {import("./model.js").Model} model
 * @param {Ring[]} rings
 */
function settled(model, [rear, front]) {
  const { Matrix4 } = model.kit.THREE;
  const out = new Matrix4();
  const ground = rear.centre.z - rear.radius - rear.tube;
  for (let round = 0; round < LEVEL_ROUNDS; round += 1) {
    const [a, b] = [lowest(rear, out), lowest(front, out)];
    const pitch = Math.atan2(b.z - a.z, b.x - a.x);
    out.premultiply(new Matrix4().makeTranslation(-a.x, 0, -a.z));
    out.premultiply(new Matrix4().makeRotationY(pitch));
    out.premultiply(new Matrix4().makeTranslation(a.x, 0, ground));
    if (Math.abs(pitch) < LEVEL_ENOUGH) break;
  }
  // The last turn moves the rear contact by less than it turned.
  return out.premultiply(new Matrix4().makeTranslation(0, 0, ground - lowest(rear, out).z));
}

/**
 * Rear and front wheel, as the document gives them, else from their tyres' meshes.
 * @param {import("./model.js").Model} model
 * @returns {Ring[] | null}
 */
function ringsOf(model) {
  const { Matrix4, Vector3 } = model.kit.THREE;
  const wheels = model.data.stand?.wheels;
  if (wheels !== undefined) {
    return wheels.map(({ axle, radius, tube, mount }) => ({
      place: new Matrix4().fromArray(model.matrixOf(mount, model.pose ?? {})),
      centre: new Vector3().fromArray(axle), radius: radius - tube, tube,
    }));
  }
  const rings = ["rear_wheel", "front_wheel"].flatMap((group) => ring(model, group) ?? []);
  return rings.length === 2 ? rings : null;
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
  return {
    place: part.object.matrix, centre: box.getCenter(box.min.clone()), radius: size.z / 2 - tube, tube,
  };
}

/**
 * The lowest point of a ring as it stands.
 * @param {Ring} ring
 * @param {import("three").Matrix4} bike
 */
function lowest({ place, centre, radius, tube }, bike) {
  const whole = bike.clone().multiply(place);
  const axis = centre.clone().set(0, 1, 0).transformDirection(whole);
  const down = centre.clone().set(0, 0, -1).addScaledVector(axis, axis.z).normalize();
  const at = centre.clone().applyMatrix4(whole).addScaledVector(down, radius);
  at.z -= tube;
  return at;
}
