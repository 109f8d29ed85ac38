// Live: the workspace's page. The server tells what there is to show, the page tells what users do.

import { Dividers } from "./dividers.js";
import { Editor } from "./editor.js";
import { Panels } from "./panels.js";
import { Pins } from "./pins.js";
import { Stage } from "./stage.js";
import { Status } from "./status.js";
import { Tries } from "./tries.js";
import { Variants } from "./variants.js";
import { Words } from "../page/words.js";

/**
 * @typedef {object} Link
 * @property {any[]} waiting news that came before this module
 * @property {(news: any) => void} take
 * @property {() => void} typed the editor's text has changed by hand
 * @property {number} editor id of the editor's element
 */

/** Tell the server what the user does. @param {string} what @param {any} [more] */
export function tell(what, more = {}) {
  /** @type {any} */ (window).emitEvent("f3d", { what, ...more });
}

/** @type {Link} */
const link = /** @type {any} */ (window).f3d;

/** Resolves with the first news: the page's elements are there then. @returns {Promise<void>} */
function first() {
  return new Promise((resolve) => {
    if (link.waiting.length > 0) resolve();
    link.take = (news) => {
      link.waiting.push(news);
      resolve();
    };
  });
}

async function start() {
  const [answer] = await Promise.all([fetch("/f3d/texts.json"), first()]);
  const texts = await answer.json();
  const words = new Words(texts);
  const editor = new Editor(link.editor, tell);
  const stage = new Stage(words, texts);
  const pins = new Pins(words);
  const panels = new Panels(words, stage, editor, pins, tell);
  new Dividers();
  const tries = new Tries(words, tell);
  const variants = new Variants(tell);
  const status = new Status(words, stage, editor, tell);

  const show = (/** @type {any} */ news) => {
    if (news.state !== undefined) {
      status.take(news.state);
      tries.tried(news.state.tried, news.state.elsewhere);
      variants.take(news.state.variants);
      editor.mark(news.state.lines);
      panels.sides(news.state);
    }
    if (news.html !== undefined) panels.take(news.html);
    if (news.tries !== undefined) tries.take(news.tries);
    if (news.curves !== undefined) panels.curves(news.curves);
    if (news.ride !== undefined) panels.ride(news.ride);
  };
  // What comes while a picture is on its way is shown together with it: browsers that draw by software
  // put a page together anew, as a whole, for each change.
  /** @type {any[]} */
  const later = [];
  stage.showed = () => {
    for (const news of later.splice(0)) show(news);
  };
  const take = (/** @type {any} */ news) => {
    if (news.bending !== undefined) stage.bend(news.bending);
    if (news.model !== undefined) stage.take(news.model); // it takes the longest way
    if (news.wrote !== undefined) editor.wrote(news.wrote);
    if (news.text !== undefined) editor.take(news.text);
    if (news.state !== undefined) editor.hear(news.state.number);
    if (stage.busy && stage.viewer !== null) later.push(news);
    else show(news);
  };
  link.typed = () => editor.typed();
  const waiting = link.waiting.splice(0);
  link.take = take;
  for (const news of waiting) take(news);
  document.documentElement.dataset.live = "";
}

start();
