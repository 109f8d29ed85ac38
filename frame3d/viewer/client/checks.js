// Checks: clearances as dimension lines, where the bike stands as well as where they are tightest.

import { Dimension } from "./dimension.js";
import { certified, now } from "./gaps.js";

const MOST = 12; // checks shown at once

export class Checks {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {import("./eye.js").Eye} eye
   * @param {import("./labels.js").Labels} labels
   * @param {import("./texts.js").Texts} texts
   * @param {import("three").Group} bike
   */
  constructor(kit, eye, labels, texts, bike) {
    this.kit = kit;
    this.texts = texts;
    /** @type {string | null} */
    this.chosen = null;
    /** @type {"all" | "short" | null} */
    this.others = null;
    this.make = () => new Dimension(kit, eye, labels, bike);
    /** @type {Dimension[]} */
    this.dimensions = [];
  }

  /**
   * @param {import("./model.js").Model} model
   * @param {string | null} id
   * @returns {import("./gaps.js").CheckData | undefined}
   */
  find(model, id) {
    return model.data.checks?.find((check) => check.id === id);
  }

  /**
   * Draw the chosen check, and the others that hold as the bike stands.
   * @param {import("./model.js").Model} model
   * @param {import("./theme.js").Theme} theme
   * @returns {import("./gaps.js").Shown | null} the chosen one
   */
  refresh(model, theme) {
    this.clear();
    const chosen = this.find(model, this.chosen);
    const shown = chosen === undefined ? null : now(model, chosen);
    if (chosen !== undefined && shown !== null) this.draw(chosen, shown, theme, true);
    const listed = this.others === null ? [] : (model.data.checks ?? []);
    listed
      .filter((check) => check !== chosen && (this.others === "all" || !check.ok))
      .flatMap((check) => {
        const at = certified(model, check);
        return at === null || !inView(model, check) ? [] : [{ check, at }];
      })
      .slice(0, MOST)
      .forEach(({ check, at }) => this.draw(check, at, theme, false));
    return shown;
  }

  /**
   * @param {import("./gaps.js").CheckData} check
   * @param {import("./gaps.js").Shown} shown
   * @param {import("./theme.js").Theme} theme
   * @param {boolean} full whether to say more than the figures
   */
  draw(check, shown, theme, full) {
    const kind = shown.ok ? "holds" : "short";
    const about = shown.from === "measured" ? "about" : "exact";
    const gap = this.texts.length(Math.abs(shown.gap), shown.decimals);
    const strong = this.texts.say(`check.${kind}`, {
      gap: shown.gap < 0 ? this.texts.say("check.overlap", { gap }) :
        shown.gap === 0 && about === "about" ? this.texts.say("check.touch") :
        this.texts.say(`check.${about}`, { gap }),
    });
    const required = this.texts.say("check.required", {
      required: this.texts.length(check.required, check.required % 1 === 0 ? 0 : 1),
    });
    const least = this.texts.say(check.least < 0 ? "check.least_overlap" : "check.least", {
      gap: this.texts.length(Math.abs(check.least), check.decimals),
    });
    const more = shown.from === "measured" && full ? [required, least] : [required];
    const dimension = this.make();
    dimension.show(theme, kind, shown.points, strong, more);
    this.dimensions.push(dimension);
  }

  /** Before a drawing. */
  settle() {
    for (const dimension of this.dimensions) dimension.strokes.settle();
  }

  clear() {
    for (const dimension of this.dimensions) dimension.dispose();
    this.dimensions = [];
  }
}

/**
 * @param {import("./model.js").Model} model
 * @param {import("./gaps.js").CheckData} check
 */
function inView(model, check) {
  return (check.between ?? []).every((name) => model.parts.get(name)?.object.visible !== false);
}
