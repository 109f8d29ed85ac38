// Status: what is saved, what is being done, and the buttons that go with it.

import { find } from "../page/dom.js";

/** @typedef {import("./editor.js").Tell} Tell */

export class Status {
  /**
   * @param {import("../page/words.js").Words} words
   * @param {import("./stage.js").Stage} stage
   * @param {import("./editor.js").Editor} editor
   * @param {Tell} tell
   */
  constructor(words, stage, editor, tell) {
    this.words = words;
    this.stage = stage;
    /** What was shown last, as JSON. */
    this.now = "";
    this.buttons = {
      undo: find("#f3d-undo"), redo: find("#f3d-redo"), save: find("#f3d-save"),
    };
    for (const [what, button] of Object.entries(this.buttons)) {
      button.addEventListener("click", () => tell(what));
    }
    find("#f3d-theirs").addEventListener("click", () => tell("theirs"));
    find("#f3d-mine").addEventListener("click", () => tell("mine"));
    find("#f3d-take-left").addEventListener("click", () => tell("take_left"));
    find("#f3d-discard-left").addEventListener("click", () => tell("discard_left"));
    document.addEventListener("keydown", (event) => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      const key = event.key.toLowerCase();
      const typing = /** @type {Element} */ (event.target).closest?.("input:not([type=range])") !== null;
      const what = key === "s" ? "save" : typing ? null
        : key === "z" ? (event.shiftKey ? "redo" : "undo") : key === "y" ? "redo" : null;
      if (what === null) return;
      event.preventDefault();
      event.stopPropagation();
      tell(what);
    }, { capture: true });
  }

  /** @param {any} state of the session */
  take(state) {
    for (const button of document.querySelectorAll("[data-output]")) {
      button.toggleAttribute("data-busy", state.working.output !== undefined);
    }
    // Values under a drag change nothing here, and what is written anew is laid out and painted anew.
    const now = JSON.stringify({ ...state, tried: Object.keys(state.tried).length > 0 });
    if (now === this.now) return;
    this.now = now;
    const say = (/** @type {string} */ key, /** @type {any} */ values = {}) =>
      this.words.say(`live.state.${key}`, values);
    this.buttons.undo.disabled = !state.undo;
    this.buttons.redo.disabled = !state.redo;
    this.buttons.save.disabled = !state.unsaved && Object.keys(state.tried).length === 0 && state.elsewhere.length === 0;
    const saved = find("#f3d-saved");
    saved.textContent = say(state.unsaved ? "unsaved" : "saved");
    saved.classList.toggle("unsaved", state.unsaved);
    const { check, curves, solids, output, compare } = state.working;
    const work = check ?? curves ?? solids;
    const doing = work === undefined ? say(state.exact ? "exact" : "light") : far(work);
    const grams = state.grams === null ? [] : [say("grams", { grams: this.words.number(state.grams, 0) })];
    find("#f3d-doing").textContent = [...grams, doing].join(" · ");
    find("#f3d-doing").classList.toggle("busy", work !== undefined);
    for (const [name, one] of Object.entries({ check, curves, solids, output, compare })) {
      const line = find(`[data-work="${name}"]`);
      line.hidden = one === undefined;
      if (one === undefined) continue;
      line.firstElementChild.value = one.share;
      line.lastElementChild.textContent = far(one);
    }
    find("#f3d-conflict").hidden = state.conflict === "";
    find("#f3d-conflict-says").textContent = state.conflict;
    find("#f3d-theirs").hidden = !state.theirs;
    find("#f3d-gone").hidden = !state.gone;
    find("#f3d-left").hidden = !state.left;
    const note = find("#f3d-note");
    note.textContent = state.note;
    note.hidden = state.note === "";
    const older = !state.measured || state.dim;
    find('[data-place="clearances"]').classList.toggle("older", older);
    find('[data-place="verdict"]').hidden = older;
    const pending = find("#f3d-pending");
    pending.hidden = !older;
    pending.textContent = say(state.dim ? "of_older" : "unmeasured");
    const figures = state.dim && !state.begun;
    for (const [place, old] of [["figures", figures], ["compare", state.dim], ["stiffness", state.dim]]) {
      find(`[data-place="${place}"]`).classList.toggle("older", old);
    }
    for (const [place, of] of [["curves", curves], ["ride", state.measured ? undefined : check], ["masses", solids]]) {
      find(`[data-place="${place}"]`).classList.toggle("older", state.dim || of !== undefined);
    }
    find('[data-place="sizes"]').classList.toggle("older", !state.sized);
    find("#f3d-pins").classList.toggle("older", figures);
    this.stage.dim(state.dim);
  }
}

/**
 * How far work is.
 * @param {{text: string, share: number}} work
 */
function far({ text, share }) {
  return share > 0 ? `${text} ${Math.round(100 * share)} %` : text;
}
