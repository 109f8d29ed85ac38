// Tabs: one panel at a time, arrow keys between their names (WAI-ARIA Authoring Practices, "Tabs").

/**
 * @param {HTMLElement} list with role tablist
 * @returns {(id: string) => void} shows the panel of the tab of that id
 */
export function tabbed(list) {
  /** @type {HTMLElement[]} */
  const tabs = [...list.querySelectorAll('[role="tab"]')].map((tab) => /** @type {any} */ (tab));
  /** @param {HTMLElement} chosen */
  const show = (chosen) => {
    for (const tab of tabs) {
      const own = document.getElementById(tab.getAttribute("aria-controls") ?? "");
      tab.setAttribute("aria-selected", String(tab === chosen));
      tab.tabIndex = tab === chosen ? 0 : -1;
      if (own !== null) own.hidden = tab !== chosen;
    }
  };
  tabs.forEach((tab, i) => {
    tab.addEventListener("click", () => show(tab));
    tab.addEventListener("keydown", (event) => {
      const step = event.key === "ArrowRight" ? 1 : event.key === "ArrowLeft" ? -1 : 0;
      if (step === 0) return;
      const next = tabs[(i + step + tabs.length) % tabs.length];
      show(next);
      next.focus();
    });
  });
  return (id) => {
    const tab = tabs.find((each) => each.id === id);
    if (tab !== undefined) show(tab);
  };
}
