// Theme: light, dark, or as the device has it; kept for the next visit where the browser allows it.

const KEPT = "frame3d-report-theme";

export class Theme {
  constructor() {
    this.dark = window.matchMedia("(prefers-color-scheme: dark)");
    /** @type {((now: "light" | "dark") => void)[]} */
    this.listeners = [];
    this.chosen = this.kept();
    this.dark.addEventListener("change", () => this.tell());
    this.apply();
  }

  kept() {
    try {
      return window.localStorage.getItem(KEPT) ?? "auto";
    } catch {
      return "auto"; // a page from disk may be refused its storage
    }
  }

  /** @param {HTMLSelectElement} select */
  ask(select) {
    select.value = this.chosen;
    select.addEventListener("change", () => {
      this.chosen = select.value;
      try {
        window.localStorage.setItem(KEPT, this.chosen);
      } catch {
        // Then it holds for this visit.
      }
      this.apply();
    });
  }

  apply() {
    document.documentElement.dataset.theme = this.chosen;
    this.tell();
  }

  /** @returns {"light" | "dark"} */
  now() {
    if (this.chosen === "light" || this.chosen === "dark") return this.chosen;
    return this.dark.matches ? "dark" : "light";
  }

  tell() {
    for (const listener of this.listeners) listener(this.now());
  }
}
