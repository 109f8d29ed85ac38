// Meanings: the definition of a figure appears beside the chart as one points at it, focuses or taps it.

import { find } from "./dom.js";

export function showMeanings() {
  const panel = find(".definitions");
  if (panel === null) return;
  const shut = panel.querySelector(".shut");
  /** @type {HTMLElement[]} */
  const rows = [...document.querySelectorAll(".chart tr[data-figure]")];
  const narrow = window.matchMedia("(max-width: 61.99rem)");

  /** @param {string} figure */
  const choose = (figure) => {
    for (const row of rows) row.classList.toggle("chosen", row.dataset.figure === figure);
    for (const card of panel.querySelectorAll(".definition-card")) {
      card.classList.toggle("chosen", card.id === `definition-${figure}`);
    }
  };
  /** @param {boolean} open */
  const sheet = (open) => {
    panel.classList.toggle("open-sheet", open);
    if (!open && narrow.matches) for (const row of rows) row.classList.remove("chosen");
  };
  const fit = () => {
    shut.hidden = !narrow.matches;
    sheet(false);
    if (!narrow.matches) choose(rows[0]?.dataset.figure ?? "");
  };

  for (const row of rows) {
    const figure = row.dataset.figure ?? "";
    const term = row.querySelector("button");
    row.addEventListener("pointerenter", (event) => {
      if (event.pointerType === "mouse" && !narrow.matches) choose(figure);
    });
    term?.addEventListener("focus", () => {
      if (!narrow.matches) choose(figure);
    });
    row.addEventListener("click", () => {
      choose(figure);
      sheet(true);
    });
  }
  shut.addEventListener("click", () => sheet(false));
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") sheet(false);
  });
  document.addEventListener("click", (event) => {
    const target = /** @type {Element} */ (event.target);
    if (narrow.matches && target.closest(".chart, .definitions") === null) sheet(false);
  });
  narrow.addEventListener("change", fit);
  fit();
}
