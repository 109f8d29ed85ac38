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
 * @property {string} share0 a tube by its share of the work under a load, the least first; the page's
 *   drawings have the same colours
 * @property {string} share1
 * @property {string} share2
 * @property {string} share3
 * @property {string} share4
 * @property {string} rigid what does not give under a load
 * @property {string} load
 * @property {string} held what holds the frame under it
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
    share0: "#c6d6d3",
    share1: "#99b6b0",
    share2: "#6c958d",
    share3: "#3f746a",
    share4: "#1c4d45",
    rigid: "#b9b7b0",
    load: "#9a3412",
    held: "#565f65",
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
    share0: "#364c4b",
    share1: "#496d68",
    share2: "#5d8e86",
    share3: "#70afa3",
    share4: "#9ad0c3",
    rigid: "#6a7176",
    load: "#f0a07a",
    held: "#a9b1b4",
  },
};
