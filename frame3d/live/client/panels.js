// Panels: tables and lists below the model, what is wrong beside the text, and what they are clicked for.

import { liveCurves } from "../page/curves.js";
import { find, make } from "../page/dom.js";
import { tabbed } from "../page/tabs.js";

/** @typedef {import("./editor.js").Tell} Tell */

export class Panels {
  /**
   * @param {import("../page/words.js").Words} words
   * @param {import("./stage.js").Stage} stage
   * @param {import("./editor.js").Editor} editor
   * @param {import("./pins.js").Pins} pins
   * @param {Tell} tell
   */
  constructor(words, stage, editor, pins, tell) {
    this.words = words;
    this.stage = stage;
    this.pins = pins;
    this.tell = tell;
    /** @type {any[]} */
    this.plots = [];
    this.ridePlots = [];
    stage.opened = (viewer) => viewer.on("pose", (pose) => this.follow(pose));
    this.show = tabbed(find("#f3d-tabs"));
    const root = find(".f3d-live");
    root.addEventListener("click", (event) => {
      const target = /** @type {HTMLElement} */ (event.target);
      const button = /** @type {HTMLElement | null} */ (target.closest("[data-line], [data-check], [data-output], a"));
      if (button === null) return;
      const { line, check, output } = button.dataset;
      if (line !== undefined) editor.go(Number(line));
      else if (check !== undefined) this.point(check);
      else if (output !== undefined) tell("output", { key: output });
      else if (button.getAttribute("href") === "#clearances") {
        event.preventDefault();
        this.show("f3d-tab-clearances");
      }
    });
    root.addEventListener("dblclick", (event) => {
      const target = /** @type {HTMLElement} */ (event.target);
      const check = /** @type {HTMLElement | null} */ (target.closest("[data-check]"))?.dataset.check;
      if (check !== undefined) this.stage.viewer?.showCheck(check, true);
    });
    this.choices = [find("#f3d-first"), find("#f3d-second")];
    for (const choice of this.choices) {
      choice.addEventListener("focus", () => tell("measure")); // another file may be there by now
      choice.addEventListener("change", () => {
        const [first, second] = this.choices.map((each) => each.value);
        tell("sides", { first, second });
      });
    }
    find("#f3d-exchange").addEventListener("submit", (event) => {
      event.preventDefault();
      tell("exchange", { typed: find("#f3d-swap").value });
    });
    new IntersectionObserver((seen) => {
      if (seen.some((one) => one.isIntersecting)) tell("measure"); // gaps of both take a while
    }).observe(this.choices[0]);
    // Worked out with every picture while it is in sight, and not at all else.
    new IntersectionObserver((seen) => {
      tell("stiffness", { on: seen[seen.length - 1].isIntersecting });
    }).observe(find('[data-place="stiffness"]'));
    this.file = find("#f3d-file");
    this.file.addEventListener("change", () => this.give());
    find("#f3d-give").addEventListener("click", () => this.file.click());
    this.over = find("#f3d-overlay");
    this.over.addEventListener("change", () => tell("overlay", { on: this.over.checked }));
  }

  /** @param {Record<string, string>} html by the place that it goes to; all of it escaped */
  take(html) {
    for (const [place, markup] of Object.entries(html)) {
      for (const element of document.querySelectorAll(`[data-place="${place}"]`)) {
        const wanted = make("template");
        wanted.innerHTML = markup;
        this.pins.dress(wanted.content);
        become(element, wanted.content);
      }
      if (place === "figures") this.pins.show();
      if (place === "title") document.title = this.words.say("live.title", { name: find("h1").textContent });
    }
  }

  /** @param {{plots: any[], poses: any[]}} given */
  curves({ plots, poses }) {
    this.stage.pose(poses);
    this.plots = this.live(plots);
    this.follow(this.stage.viewer?.pose() ?? {});
  }

  /** @param {{plots: any[]}} given */
  ride({ plots }) {
    this.ridePlots = this.live(plots);
    this.follow(this.stage.viewer?.pose() ?? {});
  }

  /** @param {any[]} plots to be read with a crosshair, together with the bike */
  live(plots) {
    return liveCurves(plots, this.words, (motion, value) => {
      if (motion in (this.stage.viewer?.pose() ?? {})) this.stage.viewer?.setPose({ [motion]: value });
      this.follow({ [motion]: value });
    });
  }

  /** @param {Record<string, number>} pose */
  follow(pose) {
    for (const curve of [...this.plots, ...this.ridePlots]) {
      if (curve.data.motion in pose) curve.show(pose[curve.data.motion]);
    }
  }

  /** @param {string} id of a check to show, the picture staying as it is; again to let go */
  point(id) {
    const { viewer } = this.stage;
    viewer?.showCheck(viewer.checks.chosen === id ? null : id);
  }

  /** @param {any} state of the session: what can be compared, and what is */
  sides({ options, sides, overlaid, pictured }) {
    this.choices.forEach((choice, i) => {
      const now = JSON.stringify(options);
      if (choice.dataset.now !== now) {
        choice.dataset.now = now;
        choice.replaceChildren(...options.map(([value, name]) => make("option", { value }, name)));
      }
      choice.value = sides[i];
    });
    this.over.checked = overlaid;
    const label = find("#f3d-pictured");
    label.hidden = pictured === null;
    if (pictured !== null) label.textContent = this.words.say("live.compare.pictured", { name: pictured });
  }

  /** Give the server the text of another file. */
  async give() {
    const [file] = this.file.files;
    this.file.value = "";
    if (file === undefined) return;
    const headers = { "Content-Type": "text/plain" };
    await fetch(`/f3d/other?name=${encodeURIComponent(file.name)}`, { method: "POST", headers, body: file });
  }
}

/**
 * Make an element hold what another holds; what is the same stays where it is.
 * @param {Element} element
 * @param {Element | DocumentFragment} wanted
 */
function become(element, wanted) {
  const [now, then] = [[...element.childNodes], [...wanted.childNodes]];
  if (now.length !== then.length) {
    element.replaceChildren(...then);
    return;
  }
  now.forEach((node, i) => {
    if (node.isEqualNode(then[i])) return;
    const alike = node instanceof Element && node.cloneNode().isEqualNode(then[i].cloneNode());
    if (alike) become(node, /** @type {Element} */ (then[i]));
    else element.replaceChild(then[i], node);
  });
}
