// Parallel: a line for each design across parallel axes, each of which can be brushed.

import { find } from "./dom.js";
import { colours, ends, follow, GROUPS, tick, tooltip } from "./planes.js";

const NARROW = 720;
/** Share of an axis that stays free beyond the values on it. */
const SPARE = 0.03;

export class Parallel {
  /**
   * @param {any} echarts
   * @param {any} page the page's document
   * @param {import("./words.js").Words} words
   * @param {import("./brushed.js").Brushed} brushed
   * @param {import("./pointed.js").Pointed} pointed
   */
  constructor(echarts, page, words, brushed, pointed) {
    this.page = page;
    this.words = words;
    this.brushed = brushed;
    this.pointed = pointed;
    this.place = find("#parallel");
    this.place.chart = this.chart = echarts.init(this.place, null, { renderer: "canvas" });
    this.telling = false;
    this.chart.on("axisareaselected", (/** @type {any} */ news) => {
      if (this.telling || news.intervals === undefined) return;
      const axis = Number(String(news.parallelAxisId).replace("axis", ""));
      this.telling = true;
      brushed.keep(axis, news.intervals);
      this.telling = false;
    });
    follow(this.chart, pointed);
    brushed.listeners.push((axis) => {
      if (axis === null) this.draw();
      else if (!this.telling) this.brush(axis);
    });
    pointed.listeners.push(() => this.mark());
    this.draw();
  }

  get narrow() {
    return this.place.clientWidth < NARROW;
  }

  /** @returns {number[]} the axes that are drawn */
  get shown() {
    return this.page.axes.flatMap((/** @type {any} */ axis, /** @type {number} */ i) => axis.shown ? [i] : []);
  }

  draw() {
    const { page, words, chart, shown, narrow } = this;
    const look = this.look = colours();
    this.wasNarrow = narrow;
    this.place.style.height = narrow ? `${shown.length * 3.6 + 3}rem` : "";
    chart.resize();
    const few = chart.getWidth() / Math.max(shown.length, 1);
    const axes = shown.map((i, place) => {
      const axis = page.axes[i];
      const end = place % 2 === 1 && !narrow;
      return {
        id: `axis${i}`, dim: i, name: axis.short, nameGap: narrow ? 8 : end ? 28 : 12,
        ...(narrow ? { nameLocation: "start" } : {}),
        ...this.scale(axis, i),
        nameTextStyle: {
          color: look.ink, fontSize: 12, textBorderColor: look.surface, textBorderWidth: 3, ...(narrow ? { align: "left", verticalAlign: "bottom", padding: [0, 0, 12, 8] }
            : { width: few * 1.5, overflow: "truncate" }),
        },
        nameTruncate: narrow ? {} : { maxWidth: few * 1.6 },
        axisLabel: {
          color: look.ink, fontSize: 11, hideOverlap: true, textBorderColor: look.surface, textBorderWidth: 3,
          ...(axis.names.length > 0 ? {} : { showMinLabel: false, showMaxLabel: false }),
          formatter: tick(axis, words),
        },
        axisLine: { lineStyle: { color: look.edge } },
        axisTick: { lineStyle: { color: look.edge } },
        areaSelectStyle: { width: narrow ? 26 : 22, color: look.accent, borderColor: look.accent, opacity: 0.25 },
      };
    });
    const width = page.groups.length > 600 ? 1 : 1.3;
    // So many lines that each is faint still show where they are dense.
    const thin = (/** @type {number} */ most) => most * Math.min(1, Math.sqrt(300 / page.groups.length));
    const strength = /** @type {any} */ ({ x: thin(0.35), m: thin(0.5), f: 0.9 });
    chart.setOption({
      animation: false,
      backgroundColor: look.surface,
      tooltip: tooltip(page, words, shown.slice(-4), look),
      parallel: {
        ...(narrow ? { layout: "vertical", left: 24, right: 24, top: 36, bottom: 20 }
          : { left: 70, right: 80, top: 66, bottom: 28 }),
        parallelAxisDefault: { realtime: true, scale: true },
      },
      parallelAxis: axes,
      series: [
        ...GROUPS.map((group) => ({
          id: group, type: "parallel", smooth: 0, progressive: 0,
          lineStyle: { color: look[group], width: group === "f" ? 1.8 : width, opacity: strength[group] },
          inactiveOpacity: 0.02, activeOpacity: Math.min(1, strength[group] * 1.6),
          emphasis: { lineStyle: { color: look.chosen, width: 2.5, opacity: 1 } },
          data: this.lines(group),
        })),
        this.marked(),
      ],
    }, { notMerge: true });
    for (const axis of this.brushed.ranges.keys()) this.brush(axis);
  }

  /** @returns {any} the kept line on top of the others */
  marked() {
    const row = this.pointed.chosen;
    const { look } = this;
    return {
      id: "chosen", type: "parallel", silent: true, inactiveOpacity: 1, activeOpacity: 1, z: 5,
      lineStyle: { color: look?.chosen, width: 2.5, opacity: 1 },
      data: [{ value: this.page.columns.map((/** @type {any} */ column) => column[row] ?? NaN) }],
    };
  }

  mark() {
    this.chart.setOption({ series: [this.marked()] });
  }

  /** @param {string} group */
  lines(group) {
    const { columns, groups } = this.page;
    if (this.brushed.hidden.has(group)) return [];
    return [...groups].flatMap((own, row) => own === group
      ? [{ row, value: columns.map((/** @type {any} */ column) => column[row] ?? NaN) }] : []);
  }

  /**
   * @param {any} axis
   * @param {number} i
   */
  scale(axis, i) {
    if (axis.names.length > 0) return { type: "category", data: axis.names };
    const [low, high] = ends(this.page.columns[i]);
    if (!(low <= high)) return { type: "value", min: 0, max: 1 };
    const spare = high > low ? SPARE * (high - low) : 0.5;
    return { type: "value", min: low - spare, max: high + spare, splitNumber: this.narrow ? 3 : 5 };
  }

  /** @param {number} axis whose ranges are drawn as they are kept */
  brush(axis) {
    this.telling = true;
    this.chart.dispatchAction({
      type: "axisAreaSelect", parallelAxisId: `axis${axis}`, intervals: this.brushed.ranges.get(axis) ?? [],
    });
    this.telling = false;
  }

  fit() {
    if (this.narrow === this.wasNarrow) this.chart.resize();
    else this.draw();
  }

  flush() {
    this.chart.getZr().refreshImmediately();
  }
}
