// Themes: the viewer's own colours, light and dark. Text on a label has a contrast of at least 4.5:1
// (WCAG 2.2, 1.4.3), lines against the ground at least 3:1 (1.4.11); tests hold this.

/**
 * @typedef {object} Theme
 * @property {string} middle of the background
 * @property {string} rim of the background
 * @property {string} edge what the lines of parts are darkened or lightened to
 * @property {string} cut outline of a section
 * @property {string} accent what is chosen or measured
 * @property {string} holds a gap that is large enough
 * @property {string} short a gap that is too small
 * @property {string} surface of a label
 * @property {string} ink on a label
 * @property {number} rimLight strength of the light from behind
 * @property {number} shade strength of the shadow on the ground
 * @property {string} ghost another version of the bike
 * @property {string} rider
 */

/** @type {Record<"light" | "dark", Theme>} */
export const THEMES = {
  light: {
    middle: "#f7f5f1",
    rim: "#dfdcd5",
    edge: "#23262a",
    cut: "#16181b",
    accent: "#1d5fbf",
    holds: "#14703f",
    short: "#b3301c",
    surface: "#ffffff",
    ink: "#1c1f23",
    rimLight: 0,
    shade: 0.46,
    ghost: "#3d6fb8",
    rider: "#9aa6b4",
  },
  dark: {
    middle: "#343a42",
    rim: "#191c20",
    edge: "#06080a",
    cut: "#f4f1ea",
    accent: "#8ab8ff",
    holds: "#7fd6a4",
    short: "#ff9b85",
    surface: "#14171a",
    ink: "#f1eee8",
    rimLight: 0.22,
    shade: 0.7,
    ghost: "#9cc2ff",
    rider: "#aeb9c6",
  },
};
