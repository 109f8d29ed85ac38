// Tools: standard views, projection, section and measuring.

import { button, find, make } from "./dom.js";

/** @typedef {import("../viewer/viewer.js").Viewer} Viewer */
/** @typedef {import("./words.js").Words} Words */

const VIEW_NAMES = ["iso", "side", "front", "top"];
const AXIS_NAMES = ["y", "x", "z"];
const MEASURE_NAMES = ["point", "edge", "part"];

export class Tools {
  /**
   * @param {Viewer} viewer
   * @param {Words} words
   */
  constructor(viewer, words) {
    this.viewer = viewer;
    this.words = words;
    this.flip = false;
    const views = VIEW_NAMES.map((name) =>
      button(words.say(`tool.view.${name}`), () => viewer.view(/** @type {any} */ (name))));
    const flat = button(words.say("tool.flat"), () => {
      const on = flat.getAttribute("aria-pressed") !== "true";
      viewer.projection(on ? "orthographic" : "perspective");
    }, { "aria-pressed": "false", title: words.say("tool.flat_means") });
    viewer.on("projection", (name) => {
      flat.setAttribute("aria-pressed", String(name === "orthographic"));
    });
    const outlines = button(words.say("tool.outlines"), () => viewer.outlines(), {
      "aria-pressed": "false", title: words.say("tool.outlines_means"),
    });
    viewer.on("outlines", (on) => outlines.setAttribute("aria-pressed", String(on)));
    find(".toolbar").append(
      make("div", { class: "together", role: "group", "aria-label": words.say("tool.views") }, ...views),
      make("div", { class: "together" }, flat, button(words.say("tool.fit"), () => viewer.fit()), outlines),
      this.rider(),
      this.section(),
      this.measure(),
      this.bending(),
      button("?", () => viewer.help(), { "aria-label": words.say("tool.help") }),
    );
  }

  rider() {
    const { viewer, words } = this;
    const select = make("select", {
      class: "narrow", "aria-label": words.say("mannequin.label"), title: words.say("mannequin.means"),
    });
    let told = "";
    /** @param {{shown: string | null, postures: {name: string, title: string}[]}} news */
    const show = ({ shown, postures }) => {
      select.hidden = postures.length === 0;
      const names = JSON.stringify(postures);
      if (names !== told) {
        told = names;
        select.replaceChildren(make("option", { value: "" }, words.say("mannequin.hidden")),
          ...postures.map(({ name, title }) =>
            make("option", { value: name }, words.say("mannequin.shows", { posture: title }))));
      }
      select.value = shown ?? "";
    };
    select.addEventListener("change", () => viewer.rider.show(select.value === "" ? null : select.value));
    viewer.on("rider", show);
    show(viewer.rider.news);
    return select;
  }

  section() {
    const { viewer, words } = this;
    const select = this.select("tool.section", ["off", ...AXIS_NAMES], "tool.cut");
    const at = make("input", { type: "range", step: 0.5, "aria-label": words.say("tool.section_at") });
    const shown = make("output");
    const flip = button(words.say("tool.flip"), () => {
      this.flip = !this.flip;
      cut();
    });
    const place = make("span", { class: "cut", hidden: true }, at, shown, flip);
    const cut = () => {
      const axis = select.value;
      place.hidden = axis === "off";
      if (axis === "off") return viewer.section(null);
      shown.textContent = words.quantity(Number(at.value), "mm", 0);
      viewer.section({ axis: /** @type {any} */ (axis), at: Number(at.value), flip: this.flip });
    };
    select.addEventListener("change", () => {
      if (select.value !== "off") {
        const [low, high] = viewer.model.range(/** @type {any} */ (select.value));
        [at.min, at.max] = [String(Math.floor(low)), String(Math.ceil(high))];
        // Begin in the middle of the frame, which is where it is worth looking.
        at.value = String(select.value === "y" ? 0 : (low + high) / 2);
        this.flip = false;
      }
      cut();
    });
    at.addEventListener("input", cut);
    viewer.on("section", (now) => {
      if (now !== null) return;
      select.value = "off";
      place.hidden = true;
    });
    const tool = make("span", { class: "tool" }, select, place);
    return tool;
  }

  measure() {
    const { viewer, words } = this;
    const select = this.select("tool.measure", ["off", ...MEASURE_NAMES], "tool.take");
    const result = make("span", { class: "cut measured", role: "status", hidden: true });
    viewer.on("bending", ({ shown }) => {
      if (shown === null) return;
      select.value = "off";
      result.hidden = true;
    });
    select.addEventListener("change", () => {
      viewer.measure(select.value === "off" ? null : /** @type {any} */ (select.value));
    });
    viewer.on("measure", (found) => {
      result.hidden = select.value === "off";
      const say = (/** @type {number} */ x) => words.quantity(x, "mm", 1);
      result.textContent = found === null ? words.say("tool.pick_two")
        : words.say("tool.measured", {
          distance: say(found.distance), x: say(found.dx), y: say(found.dy), z: say(found.dz),
        });
    });
    return make("span", { class: "tool" }, select, result);
  }

  /** The choice of a load case under which the frame is shown, and what is to say of it. */
  bending() {
    const { viewer, words } = this;
    const select = make("select", {
      "aria-label": words.say("bending.label"), title: words.say("bending.means"),
    });
    const told = find(".bending");
    const plain = button(words.say("bending.back"), () => viewer.bending.show(null), { class: "small" });
    let known = "";
    /** @param {ReturnType<() => import("../viewer/bending.js").Bending["news"]>} news */
    const show = ({ shown, said, legend, cases }) => {
      select.hidden = cases.length === 0;
      const names = JSON.stringify(cases);
      if (names !== known) {
        known = names;
        select.replaceChildren(make("option", { value: "" }, words.say("bending.off")),
          ...cases.map(({ key, title }) => make("option", { value: key }, title)));
      }
      select.value = shown ?? "";
      if (told === null) return;
      told.hidden = shown === null;
      const keys = legend.map(({ text, colour }) => {
        const swatch = make("span", { class: "swatch", "aria-hidden": "true" });
        swatch.style.backgroundColor = colour;
        return make("span", {}, swatch, text);
      });
      const [headline, ...more] = said;
      told.replaceChildren(
        make("p", {}, make("strong", {}, headline), ". ", more.join(" "), " ", words.say("bending.caution")),
        make("p", { class: "row" }, ...keys, plain),
      );
    };
    select.addEventListener("change", () => viewer.bending.show(select.value === "" ? null : select.value));
    viewer.on("bending", show);
    show(viewer.bending.news);
    return select;
  }

  /**
   * @param {string} label key of its text
   * @param {string[]} values
   * @param {string} names key of theirs
   * @returns {any}
   */
  select(label, values, names) {
    return make("select", { "aria-label": this.words.say(label) },
      ...values.map((value) => make("option", { value }, this.words.say(`${names}.${value}`))));
  }
}
