// Planes: what both charts have in common: colours of the page, how designs are named.

/** @returns {Record<string, string>} colours of the page as it is now */
export function colours() {
  const style = getComputedStyle(document.documentElement);
  const named = (/** @type {string} */ name) => style.getPropertyValue(`--${name}`).trim();
  return {
    ink: named("ink"), muted: named("muted"), line: named("line"), edge: named("edge"),
    surface: named("surface"), accent: named("accent"), chosen: named("short"),
    f: named("curve-1"), m: named("curve-0"), x: named("edge"),
  };
}

/** Groups of designs, those drawn last on top. */
export const GROUPS = ["x", "m", "f"];

/**
 * A value on an axis as text.
 * @param {any} axis
 * @param {number | null} value
 * @param {import("./words.js").Words} words
 */
export function valueOn(axis, value, words) {
  if (value === null || value === undefined) return "–";
  if (axis.names.length > 0) return axis.names[Math.round(value)] ?? "";
  return words.quantity(value, axis.unit, axis.decimals);
}

/**
 * The least and the greatest value of a column; infinite where it has none.
 * @param {(number | null)[]} column
 * @returns {[number, number]}
 */
export function ends(column) {
  let [low, high] = [Infinity, -Infinity];
  for (const value of column) {
    if (value === null) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return [low, high];
}

/**
 * How the numbers along an axis are written: with the digits that they need.
 * @param {any} axis
 * @param {import("./words.js").Words} words
 * @returns {(value: any) => string}
 */
export function tick(axis, words) {
  if (axis.names.length > 0) return (value) => String(value);
  return (value) => {
    const [, digits = ""] = String(Number(Number(value).toFixed(6))).split(".");
    return words.number(Number(value), digits.length);
  };
}

/**
 * What the box at the pointer says: drawn as plain text, as markup would need styles of its own.
 * @param {any} page
 * @param {import("./words.js").Words} words
 * @param {number[]} axes
 * @param {Record<string, string>} look
 */
export function tooltip(page, words, axes, look) {
  return {
    renderMode: "richText", confine: true, backgroundColor: look.surface, borderColor: look.edge,
    textStyle: { color: look.ink, fontSize: 13 },
    formatter: (/** @type {any} */ at) => {
      const row = at.data?.row ?? at.data?.value?.row;
      if (row === undefined) return "";
      const lines = axes.map((i) => `${page.axes[i].short}: ${valueOn(page.axes[i], page.columns[i][row], words)}`);
      return [page.says.design.replace("{number}", row + 1), ...lines].join("\n");
    },
  };
}

/**
 * Pointing at a design shows it; choosing it keeps it.
 * @param {any} chart
 * @param {import("./pointed.js").Pointed} pointed
 */
export function follow(chart, pointed) {
  const rowOf = (/** @type {any} */ at) => at.data?.row;
  chart.on("mouseover", (/** @type {any} */ at) => {
    if (rowOf(at) !== undefined) pointed.hover(rowOf(at));
  });
  chart.on("globalout", () => pointed.hover(null));
  chart.on("click", (/** @type {any} */ at) => {
    if (rowOf(at) !== undefined) pointed.choose(rowOf(at));
  });
}
