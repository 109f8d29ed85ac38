// Keys: what the keyboard does while the canvas has the focus, and the help that says so.

/**
 * @typedef {object} Command
 * @property {string[]} keys as events name them
 * @property {string} text key of its text
 * @property {(event: KeyboardEvent) => void} run
 */

const TURN = Math.PI / 24;
const SHIFT = 0.06; // of the picture's height

/**
 * @param {import("./viewer.js").Viewer} viewer
 * @returns {Command[]}
 */
export function commandsOf(viewer) {
  const { eye } = viewer;
  /** @type {Record<string, [number, number]>} */
  const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
  /** @type {[string, import("./views.js").View][]} */
  const views = [
    ["1", "side"], ["2", "front"], ["3", "top"], ["4", "rear"], ["5", "left"], ["6", "iso"],
  ];
  return [
    {
      keys: Object.keys(ways),
      text: "turn",
      run: (event) => {
        const [right, up] = ways[event.key];
        if (event.shiftKey) eye.shift(SHIFT * right, SHIFT * up);
        else eye.turn(TURN * right, TURN * up);
      },
    },
    { keys: ["+", "="], text: "nearer", run: () => eye.zoom(1.2) },
    { keys: ["-"], text: "further", run: () => eye.zoom(1 / 1.2) },
    ...views.map(([key, view]) => ({
      keys: [key], text: view, run: () => viewer.view(view),
    })),
    { keys: ["f"], text: "fit", run: () => viewer.fit() },
    {
      keys: ["p"],
      text: "projection",
      run: () =>
        viewer.projection(eye.projection === "perspective" ? "orthographic" : "perspective"),
    },
    { keys: ["o"], text: "outlines", run: () => viewer.outlines() },
    { keys: ["r"], text: "rider", run: () => viewer.rider.showNext() },
    { keys: ["Escape"], text: "nothing", run: () => viewer.nothing() },
    { keys: ["?", "h"], text: "help", run: () => viewer.help() },
  ];
}

/**
 * Listen to the canvas's keys.
 * @param {HTMLElement} canvas
 * @param {Command[]} commands
 */
export function onKeys(canvas, commands) {
  canvas.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    const command = commands.find(({ keys }) => keys.includes(key));
    if (command === undefined) return;
    event.preventDefault();
    command.run(event);
  });
}

/**
 * The help: every key with what it does.
 * @param {Command[]} commands
 * @param {import("./texts.js").Texts} texts
 * @returns {HTMLElement}
 */
export function helpOf(commands, texts) {
  const box = document.createElement("div");
  box.className = "f3d-help";
  box.hidden = true;
  const title = document.createElement("h2");
  title.textContent = texts.say("keys.title");
  const list = document.createElement("dl");
  for (const { text } of commands) {
    const [term, meaning] = [document.createElement("dt"), document.createElement("dd")];
    term.textContent = texts.say(`keys.${text}.key`);
    meaning.textContent = texts.say(`keys.${text}.does`);
    list.append(term, meaning);
  }
  box.append(title, list);
  return box;
}
