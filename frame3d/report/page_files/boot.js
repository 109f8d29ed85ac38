// Boot: what the page does as it opens. Everything but the model works without WebGL.

import { liveCurves } from "./curves.js";
import { find } from "./dom.js";
import { liveFigures } from "./figures.js";
import { GapsList } from "./gaps.js";
import { showMeanings } from "./meanings.js";
import { liveSeat } from "./seat.js";
import { Motions } from "./motions.js";
import { couldNotShow, modelBundles, needWebGL, opened, pageDocument } from "./opening.js";
import { PartsList } from "./parts.js";
import { liveReturns } from "./returns.js";
import { tabbed } from "./tabs.js";
import { Theme } from "./theme.js";
import { Tools } from "./tools.js";
import { Words } from "./words.js";

export async function boot() {
  const theme = opened();
  dateOnPaper();
  window.addEventListener("beforeprint", () => {
    for (const told of document.querySelectorAll("details.thresholds")) told.setAttribute("open", "");
  });
  find(".controls").hidden = false;
  showMeanings();
  showMore();
  followReading();

  const model = find("#bike-model");
  const waiting = find(".waiting");
  try {
    const page = await pageDocument();
    const words = new Words(page.texts);
    liveSeat(words);
    /** @type {any} */
    let viewer = null;
    const curves = liveCurves(page.plots, words, (motion, value) => {
      if (motion === "hit") returns?.show(value);
      else if (viewer !== null) viewer.setPose({ [motion]: value });
      else follow({ [motion]: value });
    });
    /** @param {Record<string, number>} pose */
    const follow = (pose) => {
      for (const curve of curves) {
        if (curve.data.motion in pose) curve.show(pose[curve.data.motion]);
      }
    };
    const returns = liveReturns(page.returns, words, (time) => follow({ hit: time }));
    if (model === null) return;
    waiting.textContent = waiting.dataset.loading;
    viewer = await openModel(page, words, theme);
    viewer.on("pose", follow);
    waiting.textContent = "";
  } catch (problem) {
    couldNotShow(problem);
  }
}

/**
 * Lists, sliders, then the model itself.
 * @param {any} page the page's document
 * @param {Words} words
 * @param {Theme} theme
 * @returns {Promise<any>} the viewer
 */
async function openModel(page, words, theme) {
  const model = find("#bike-model");
  needWebGL();
  const show = tabbed(find('[role="tablist"]'));
  const parts = new PartsList(page.scene, words);
  const gaps = new GapsList(page, words, () => {
    show("tab-checks");
    model.scrollIntoView({ block: "center" });
  });
  const motions = new Motions(page, words);
  find(".panel").hidden = false;
  model.classList.add("opening");

  const [three, own, glb] = await modelBundles();
  const view = find("#view");
  const viewer = await own.createViewer(view, {
    three, glb, scene: page.scene, texts: page.texts, theme: theme.now(),
  });
  view.viewer = viewer;
  theme.listeners.push((now) => viewer.theme(now));
  for (const list of [parts, gaps, motions]) list.join(viewer);
  new Tools(viewer, words);
  liveFigures(page.scene, viewer, words);
  viewer.showChecks("short");
  find(".toolbar").hidden = false;
  model.classList.add("live");
  model.dataset.ready = "";
  return viewer;
}

/** A page that bears no date of its own is printed with that of printing. */
function dateOnPaper() {
  const place = find(".on-paper");
  if (place === null) return;
  window.addEventListener("beforeprint", () => {
    const now = new Date();
    const parts = [now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0"));
    place.textContent = place.dataset.says.replace("{date}", [now.getFullYear(), ...parts].join("-"));
  });
}

/** The button that shows the rows of the checks that are left out at first. */
function showMore() {
  const more = find(".more");
  const table = find("table.checks");
  if (more === null || table === null) return;
  more.hidden = false;
  more.addEventListener("click", () => {
    table.classList.add("whole");
    more.hidden = true;
  });
}

/** The contents say which section is being read. */
function followReading() {
  /** @type {HTMLElement[]} */
  const links = [...document.querySelectorAll("nav a")].map((link) => /** @type {any} */ (link));
  const seen = new IntersectionObserver(
    (entries) => {
      for (const { target, isIntersecting } of entries) {
        if (!isIntersecting) continue;
        for (const link of links) {
          if (link.getAttribute("href") === `#${target.id}`) link.setAttribute("aria-current", "true");
          else link.removeAttribute("aria-current");
        }
      }
    },
    { rootMargin: "-30% 0px -60%" },
  );
  for (const section of document.querySelectorAll("main section")) seen.observe(section);
}

boot();
