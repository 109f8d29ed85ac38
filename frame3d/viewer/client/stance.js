// Stance: where everything that moves stands, and moves from one pose to another.

import { MOMENT } from "./eye.js";

export class Stance {
  /**
   * @param {import("./stage.js").Stage} stage
   * @param {boolean} still whether to do without moves
   * @param {(pose: import("./pose.js").Pose) => void} moved called with every new pose
   */
  constructor(stage, still, moved) {
    this.stage = stage;
    this.still = still;
    this.moved = moved;
    /** @type {import("./model.js").Motion[]} what can move, and how far */
    this.motions = [];
    /** @type {import("./pose.js").Pose} */
    this.pose = {};
    this.journey = 0;
  }

  /**
   * Move what is named; the rest stays. Nothing goes beyond the end of its motion.
   * @param {import("./pose.js").Pose} pose
   */
  set(pose) {
    this.journey += 1;
    this.stand(pose);
  }

  /** @param {import("./pose.js").Pose} pose */
  stand(pose) {
    const next = { ...this.pose, ...pose };
    for (const { name, low, high } of this.motions) {
      next[name] = Math.min(Math.max(Number(next[name] ?? 0) || 0, low), high);
    }
    this.pose = next;
    this.moved(next);
  }

  /**
   * Go to a pose over a moment.
   * @param {import("./pose.js").Pose} pose
   * @returns {Promise<void>} resolves there, or when something else moves the bike
   */
  go(pose) {
    const from = this.pose;
    const journey = (this.journey += 1);
    return new Promise((resolve) => {
      this.stage.move(this.still ? 0 : MOMENT, (share) => {
        if (journey !== this.journey) return resolve();
        const now = Object.entries(pose).map(([motion, end]) => {
          const start = from[motion] ?? 0;
          return [motion, share === 1 ? end : start + share * (end - start)];
        });
        this.stand(Object.fromEntries(now));
        if (share === 1) resolve();
      });
    });
  }

  /**
   * Motions that only checks use (the swing of a shoe), back at 0: nothing else would reset them.
   * @returns {import("./pose.js").Pose}
   */
  unlisted() {
    const listed = this.motions.map(({ name }) => name);
    const others = Object.keys(this.pose).filter((name) => !listed.includes(name));
    return Object.fromEntries(others.map((name) => [name, 0]));
  }
}
