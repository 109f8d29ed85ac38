// Words: the page's texts, and numbers as its language writes them.

export class Words {
  /** @param {any} data the whole file of texts */
  constructor(data) {
    this.data = data;
  }

  /**
   * The text under a dotted key, its {names} filled in; the key itself where there is none.
   * @param {string} key
   * @param {Record<string, string | number>} [values]
   * @returns {string}
   */
  say(key, values = {}) {
    const found = this.get(key);
    if (found === undefined) return key;
    return found.replace(/\{(\w+)\}/g, (whole, name) => String(values[name] ?? whole));
  }

  /**
   * @param {string} key
   * @returns {string | undefined}
   */
  get(key) {
    /** @type {any} */
    let here = this.data;
    for (const part of key.split(".")) here = here?.[part];
    return typeof here === "string" ? here : undefined;
  }

  /**
   * @param {number} value
   * @param {number} [decimals]
   */
  number(value, decimals = 1) {
    const shown = value.toFixed(decimals);
    const plain = Number(shown) === 0 ? shown.replace("-", "") : shown;
    return plain.replace("-", "−").replace(".", this.data.number.point);
  }

  /**
   * A number with its unit.
   * @param {number} value
   * @param {string} unit as the documents name it
   * @param {number} [decimals]
   */
  quantity(value, unit, decimals = 1) {
    const mark = this.get(`unit.${unit}`) ?? unit;
    const gap = mark === "°" || mark === "" ? "" : "\u00a0";
    return `${this.number(value, decimals)}${gap}${mark}`;
  }
}
