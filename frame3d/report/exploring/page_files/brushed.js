// Brushed: the ranges that are kept on each axis, the groups that are shown, and what is within.

/** @typedef {[number, number][]} Ranges */

export class Brushed {
  /** @param {any} page the page's document */
  constructor(page) {
    this.page = page;
    /** @type {Map<number, Ranges>} axis -> its ranges; none for an axis that is whole */
    this.ranges = new Map();
    /** @type {Set<string>} letters of the groups that are hidden */
    this.hidden = new Set();
    /** @type {((axis: number | null) => void)[]} called with the axis that changed; null for several */
    this.listeners = [];
    this.within = this.worked();
  }

  /**
   * @param {number} axis
   * @param {Ranges} ranges
   */
  keep(axis, ranges) {
    if (ranges.length === 0) this.ranges.delete(axis);
    else this.ranges.set(axis, ranges);
    this.tell(axis);
  }

  clear() {
    this.ranges.clear();
    this.tell(null);
  }

  /**
   * @param {string} group
   * @param {boolean} shown
   */
  show(group, shown) {
    if (shown) this.hidden.delete(group);
    else this.hidden.add(group);
    this.tell(null);
  }

  /** @param {number | null} axis */
  tell(axis) {
    this.within = this.worked();
    for (const listener of this.listeners) listener(axis);
  }

  /** @returns {boolean[]} for each row, whether it is shown and within all ranges */
  worked() {
    const { columns, groups } = this.page;
    const kept = [...groups].map((group) => !this.hidden.has(group));
    for (const [axis, ranges] of this.ranges) {
      const column = columns[axis];
      for (let row = 0; row < kept.length; row += 1) {
        const value = column[row];
        kept[row] &&= value !== null && ranges.some(([low, high]) => low <= value && value <= high);
      }
    }
    return kept;
  }
}
