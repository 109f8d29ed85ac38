// Texts: what the viewer says, from the one file of texts, and numbers as its language writes them.

export class Texts {
  /** @param {any} data the whole file of texts, or its section "viewer" */
  constructor(data) {
    this.viewer = data?.viewer ?? data ?? {};
    /** @type {string} */
    this.point = data?.number?.point ?? this.viewer.point ?? ".";
  }

  /**
   * The text under a dotted key, its {names} filled in; the key itself where there is none.
   * @param {string} key
   * @param {Record<string, string | number>} [values]
   * @returns {string}
   */
  say(key, values = {}) {
    /** @type {any} */
    let found = this.viewer;
    for (const part of key.split(".")) found = found?.[part];
    if (typeof found !== "string") return key;
    return found.replace(/\{(\w+)\}/g, (whole, name) => String(values[name] ?? whole));
  }

  /**
   * A number with a true minus sign.
   * @param {number} value
   * @param {number} [decimals]
   */
  number(value, decimals = 1) {
    const shown = value.toFixed(decimals);
    const plain = Number(shown) === 0 ? shown.replace("-", "") : shown;
    return plain.replace("-", "−").replace(".", this.point);
  }

  /**
   * A length in mm, with its unit.
   * @param {number} value
   * @param {number} [decimals]
   */
  length(value, decimals = 1) {
    return this.say("mm", { value: this.number(value, decimals) });
  }
}
