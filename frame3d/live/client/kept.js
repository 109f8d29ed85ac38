// Kept: what a browser keeps of a user's choices over visits, where it keeps anything.

/**
 * @param {string} place
 * @returns {any} what is kept there; null where nothing is, it is damaged, or nothing may be kept
 */
export function kept(place) {
  try {
    return JSON.parse(localStorage.getItem(place) ?? "null");
  } catch {
    return null;
  }
}

/**
 * @param {string} place
 * @param {any} value to keep there
 */
export function keep(place, value) {
  try {
    localStorage.setItem(place, JSON.stringify(value));
  } catch {
    // a browser that keeps nothing
  }
}
