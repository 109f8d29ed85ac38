// Looks: which parts are shown, and how each looks.

export class Looks {
  constructor() {
    /** @type {Set<string>} */
    this.hidden = new Set();
    /** @type {Set<string> | null} */
    this.only = null;
    /** @type {Set<string>} names of parts in whose place something else is drawn */
    this.aside = new Set();
    /** @type {Set<string> | null} names of parts that stand behind their bent selves, alone */
    this.bent = null;
  }

  /**
   * @param {import("./model.js").Model} model
   * @param {string} name of a part, or of a group of parts
   * @param {boolean} visible
   */
  show(model, name, visible) {
    for (const part of model.all) {
      if (part.name !== name && part.data.group !== name) continue;
      if (visible) this.hidden.delete(part.name);
      else this.hidden.add(part.name);
    }
  }

  /** @param {string[] | null} names */
  isolate(names) {
    this.only = names === null ? null : new Set(names);
  }

  /**
   * Show parts whatever was hidden before.
   * @param {readonly string[]} names
   */
  reveal(names) {
    for (const name of names) {
      this.hidden.delete(name);
      this.only?.add(name);
    }
  }

  /** @param {string} name */
  shows(name) {
    return !this.hidden.has(name) && (this.only === null || this.only.has(name));
  }

  /**
   * @param {import("./model.js").Model} model
   * @param {import("./theme.js").Theme} theme
   * @param {Set<string>} chosen names of parts to light up
   * @param {readonly string[] | null} between names of parts before which all others step back
   * @param {(name: string) => boolean} outlined which parts show their outlines
   */
  apply(model, theme, chosen, between, outlined) {
    for (const part of model.all) {
      const needed = chosen.has(part.name) || (between ?? []).includes(part.name);
      const { bent } = this;
      part.object.visible = this.shows(part.name) &&
        (bent === null ? needed || !this.aside.has(part.name) : bent.has(part.name));
      const aside = bent !== null || (between !== null && !between.includes(part.name));
      const look = bent === null && chosen.has(part.name) ? "chosen" : aside ? "faded" : "plain";
      part.show(theme, look, outlined(part.name));
    }
  }

  /**
   * The same of a model that is laid over.
   * @param {import("./model.js").Model} model
   * @param {import("./theme.js").Theme} theme
   */
  applyGhost(model, theme) {
    for (const part of model.all) {
      part.object.visible = this.shows(part.name);
      part.show(theme, "ghost");
    }
  }
}
