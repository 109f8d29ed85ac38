// Figures: those at a glance, as the bike stands in the pose of the sliders, on level ground.

import { find } from "./dom.js";
import { effectiveAngle } from "./seat.js";

const MOVING = ["rear", "fork", "steer", "slide", "insert"]; // what figures depend on

/**
 * What the chart's figures are as the bike stands.
 * @param {any} stand of the scene document: steering axis, head tube's top, seat
 * @param {any} now from the viewer: the bike's motion, contacts and axles
 * @returns {Record<string, number>} figure -> mm or degrees
 */
export function figuresOf(stand, now) {
  const moved = (/** @type {number[]} */ p, w = 1) => [0, 1, 2].map((row) =>
    now.matrix[row] * p[0] + now.matrix[4 + row] * p[1] + now.matrix[8 + row] * p[2]
    + now.matrix[12 + row] * w);
  const [drawn, top, crown] = [moved([0, 0, 0]), moved(stand.top), moved(stand.crown)];
  const bb = now.bottomBracket;
  const down = moved(stand.down, 0);
  const ground = now.rear[2];
  const angle = degrees(Math.atan2(-down[2], down[0]));
  const pitch = angle - degrees(Math.atan2(-stand.down[2], stand.down[0]));
  // Where the steering axis meets the ground, ahead of the contact along the wheel's own heading.
  const along = (ground - crown[2]) / down[2];
  const foot = [0, 1].map((i) => crown[i] + along * down[i]);
  const flat = Math.hypot(now.across[0], now.across[1]);
  const heading = [now.across[1] / flat, -now.across[0] / flat];
  const trail = (foot[0] - now.front[0]) * heading[0] + (foot[1] - now.front[1]) * heading[1];
  const stack = top[2] - bb[2];
  return {
    reach: top[0] - bb[0],
    stack,
    head_tube_angle: angle,
    effective_seat_tube_angle: seatAngle(stand.seat, pitch, stack, [bb[0] - drawn[0], bb[2] - drawn[2]]),
    chainstay_length: Math.hypot(now.rearAxle[0] - bb[0], now.rearAxle[2] - bb[2]),
    wheelbase: Math.hypot(now.front[0] - now.rear[0], now.front[1] - now.rear[1]),
    bb_height: bb[2] - ground,
    trail,
  };
}

/**
 * The effective seat tube angle at the saddle, or where its height is not given at that of the stack.
 * @param {{angle: number, offset: number, height: number | null}} seat
 * @param {number} pitch of the frame, nose down positive [degrees]
 * @param {number} stack as the bike stands [mm]
 * @param {[number, number]} shift of the bottom bracket from where the frame has it, ahead and up [mm]
 */
function seatAngle({ angle, offset: drawn, height }, pitch, stack, [ahead, up]) {
  const actual = angle + pitch;
  const turn = (actual * Math.PI) / 180;
  const offset = drawn - ahead * Math.sin(turn) - up * Math.cos(turn);
  if (height !== null) return effectiveAngle(actual, offset, height);
  const along = (stack - offset * Math.cos(turn)) / Math.sin(turn);
  return degrees(Math.atan2(stack, along * Math.cos(turn) - offset * Math.sin(turn)));
}

/** @param {number} radians */
function degrees(radians) {
  return (radians * 180) / Math.PI;
}

/**
 * @param {any} scene the scene document
 * @param {any} viewer
 * @param {import("./words.js").Words} words
 */
export function liveFigures(scene, viewer, words) {
  /** @type {HTMLElement[]} */
  const places = [...document.querySelectorAll("[data-live]")].map((each) => /** @type {any} */ (each));
  const asDrawn = places.map((place) => place.textContent);
  const told = find(".now");
  viewer.on("pose", (/** @type {Record<string, number>} */ pose) => {
    const moved = MOVING.filter((name) => Math.abs(pose[name] ?? 0) > 0.05);
    const now = viewer.standing();
    const still = moved.length === 0 || now === null;
    told.hidden = still;
    const figures = still ? {} : figuresOf(scene.stand, now);
    places.forEach((place, i) => {
      const value = figures[place.dataset.live ?? ""];
      place.textContent = value === undefined ? asDrawn[i] : words.number(value, 1);
    });
    const said = moved.map((name) => {
      const { drawn, unit } = scene.motions.find((/** @type {any} */ each) => each.name === name);
      return `${words.say(`motion.${name}.short`)} `
        + words.quantity(drawn + pose[name], unit, 0);
    });
    told.textContent = told.dataset.says.replace("{pose}", said.join(", "));
  });
}
