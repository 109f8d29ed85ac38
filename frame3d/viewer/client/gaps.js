// Gaps: what is known of a check's gap as the bike stands.

import { nearest } from "./nearest.js";

/** @typedef {import("./pose.js").Triple} Triple */

/**
 * @typedef {object} Track the smallest gap at each value of one motion, over all the others
 * @property {string} motion
 * @property {number[]} values
 * @property {number[]} gaps
 * @property {[Triple, Triple][]} points
 */

/**
 * @typedef {object} CheckData
 * @property {string} id
 * @property {string} title
 * @property {[string, string] | null} between
 * @property {number} gap what was found [mm]; below 0 a depth of overlap
 * @property {number} least the least that it is for certain, which is judged [mm]
 * @property {number} decimals how many show on which side of the requirement that lies
 * @property {number} required [mm]
 * @property {boolean} ok
 * @property {string} unit
 * @property {import("./pose.js").Pose} at where it is tightest
 * @property {[Triple, Triple] | null} points at that pose, in the frame's axes
 * @property {Track | null} [track]
 */

/**
 * @typedef {object} Shown a check as the bike stands
 * @property {string} id
 * @property {number} gap [mm]
 * @property {"certified" | "track" | "measured"} from where the gap is known from: measured is from
 *   the drawn meshes
 * @property {boolean} ok
 * @property {number} [decimals] how many to show
 * @property {[Triple, Triple]} points
 */

const SAME = 0.02; // two poses whose points differ by less are one [mm]
const ARM = 500; // distance from the origin at which that is judged [mm]
/**
 * A check as the bike stands: certified in its tightest pose, else from its track where that is of
 * the only motion that matters, else measured between the drawn parts.
 * @param {import("./model.js").Model} model
 * @param {CheckData} check
 * @returns {Shown | null} null where nothing is known
 */
export function now(model, check) {
  const tightest = certified(model, check);
  if (tightest !== null) return tightest;
  const tracked = onTrack(model, check);
  const parts = (check.between ?? []).map((name) => model.parts.get(name));
  const [a, b] = parts;
  if (a === undefined || b === undefined) return tracked;
  const toA = a.object.matrix.clone().invert().multiply(b.object.matrix);
  const found = nearest(a.solid, b.solid, toA.toArray());
  const points = /** @type {[Triple, Triple]} */ (
    [found.p, found.q].map((x) => applied(a.object.matrix.toArray(), x))
  );
  if (tracked !== null) return { ...tracked, points };
  const ok = found.distance >= check.required;
  return { id: check.id, gap: found.distance, from: "measured", ok, points };
}

/**
 * The check's own figures, where its two parts stand to each other as in its tightest pose.
 * @param {import("./model.js").Model} model
 * @param {CheckData} check
 * @returns {Shown | null}
 */
export function certified(model, check) {
  if (check.points === null || check.unit !== "mm") return null;
  const { id, least: gap, ok, decimals } = check;
  const own = { id, gap, from: /** @type {const} */ ("certified"), ok, decimals };
  const mounts = (check.between ?? []).map((name) => mountOf(model, name));
  const [a, b] = mounts;
  if (a === undefined || b === undefined) {
    const same = Object.entries(check.at).every(
      ([motion, value]) => Math.abs((model.pose[motion] ?? 0) - value) < SAME,
    );
    return same ? { ...own, points: check.points } : null;
  }
  const [here, there] = [model.pose, check.at].map((pose) =>
    relative(model, a, b, pose),
  );
  if (!alike(here, there)) return null;
  const carry = relativeTo(model, a, check.at, model.pose);
  const points = /** @type {[Triple, Triple]} */ (check.points.map((x) => applied(carry, x)));
  return { ...own, points };
}

/**
 * The gap from the track, where no other motion moves the two parts against each other.
 * @param {import("./model.js").Model} model
 * @param {CheckData} check
 * @returns {Shown | null}
 */
function onTrack(model, check) {
  const { track } = check;
  if (track === null || track === undefined || track.values.length < 2) return null;
  if (Object.keys(check.at).some((motion) => motion !== track.motion)) return null;
  const value = model.pose[track.motion] ?? 0;
  const { values, gaps } = track;
  const above = values.findIndex((x) => x >= value);
  const j = above < 0 ? values.length - 1 : Math.max(above, 1);
  const share = Math.min(Math.max((value - values[j - 1]) / (values[j] - values[j - 1]), 0), 1);
  const gap = gaps[j - 1] + share * (gaps[j] - gaps[j - 1]);
  const points = track.points[share < 0.5 ? j - 1 : j];
  return { id: check.id, gap, from: "track", ok: gap >= check.required, points };
}

/**
 * @param {import("./model.js").Model} model
 * @param {string} name
 * @returns {string | undefined}
 */
function mountOf(model, name) {
  return model.data.parts.find((part) => part.name === name)?.mount;
}

/**
 * Where b stands among a's axes: the images of four points.
 * @param {import("./model.js").Model} model
 * @param {string} a
 * @param {string} b
 * @param {import("./pose.js").Pose} pose
 */
function relative(model, a, b, pose) {
  const { Matrix4 } = model.kit.THREE;
  const inverse = new Matrix4().fromArray(model.matrixOf(a, pose)).invert();
  return inverse.multiply(new Matrix4().fromArray(model.matrixOf(b, pose))).toArray();
}

/**
 * The motion of a mount from one pose to another.
 * @param {import("./model.js").Model} model
 * @param {string} mount
 * @param {import("./pose.js").Pose} from
 * @param {import("./pose.js").Pose} to
 */
function relativeTo(model, mount, from, to) {
  const { Matrix4 } = model.kit.THREE;
  const back = new Matrix4().fromArray(model.matrixOf(mount, from)).invert();
  return new Matrix4().fromArray(model.matrixOf(mount, to)).multiply(back).toArray();
}

/**
 * @param {number[]} a
 * @param {number[]} b
 */
function alike(a, b) {
  return a.every((x, i) => Math.abs(x - b[i]) * (i < 12 ? ARM : 1) < SAME);
}

/**
 * @param {number[]} m
 * @param {ArrayLike<number>} p
 * @returns {Triple}
 */
function applied(m, p) {
  const row = (/** @type {number} */ k) => m[k] * p[0] + m[4 + k] * p[1] + m[8 + k] * p[2] + m[12 + k];
  return [row(0), row(1), row(2)];
}
