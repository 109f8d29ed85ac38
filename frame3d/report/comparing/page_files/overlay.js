// Overlay: where the bikes in the drawing coincide, which are shown, whose differences are marked.

import { find } from "./dom.js";

export function liveOverlay() {
  const drawing = find(".overlay");
  /** @param {string} selector */
  const all = (selector) => [...document.querySelectorAll(selector)].map((one) => /** @type {any} */ (one));
  const align = find("#align");
  align.addEventListener("change", () => {
    for (const group of all(".overlay [data-bike]")) {
      group.setAttribute("transform", group.dataset[align.value]);
    }
  });
  let chosen = "1";
  const show = () => {
    for (const one of all(".differences, .told")) {
      one.classList.toggle("aside", one.dataset.bike !== chosen);
    }
    const box = find(`.legend input[data-bike="${chosen}"]`);
    find(`.differences.d${chosen}`)?.classList.toggle("aside", !box.checked);
  };
  const marked = find("#marked");
  marked?.addEventListener("change", () => {
    chosen = marked.value;
    tell(null);
    show();
  });
  for (const box of all(".legend input")) {
    box.hidden = false;
    box.addEventListener("change", () => {
      find(`.overlay .b${box.dataset.bike}`).classList.toggle("aside", !box.checked);
      show();
    });
  }
  const buttons = all(".tell");
  /** @param {any} button that of the sentence whose dimension stands out; null for none */
  const tell = (button) => {
    for (const each of buttons) each.setAttribute("aria-pressed", String(each === button));
    for (const mark of all(".difference")) {
      const own = button !== null && mark.dataset.figure === button.dataset.figure &&
        mark.closest("[data-bike]").dataset.bike === button.closest("[data-bike]").dataset.bike;
      mark.classList.toggle("chosen", own);
    }
    drawing.classList.toggle("one", button !== null);
  };
  for (const button of buttons) {
    button.setAttribute("aria-pressed", "false");
    button.addEventListener("click", () => {
      tell(button.getAttribute("aria-pressed") === "true" ? null : button);
    });
  }
}
