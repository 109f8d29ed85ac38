// Scatter: a dot for each design on two axes of choice.

import { find, make } from "./dom.js";
import { colours, follow, GROUPS, tick, tooltip } from "./planes.js";

export class Scatter {
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
    [this.across, this.upward] = page.scatter;
    const place = find("#scatter");
    place.chart = this.chart = echarts.init(place, null, { renderer: "canvas" });
    find("#scatter-axes").append(
      this.select(page.says.across, this.across, (axis) => { this.across = axis; }),
      this.select(page.says.upward, this.upward, (axis) => { this.upward = axis; }),
    );
    follow(this.chart, pointed);
    brushed.listeners.push(() => this.dots());
    pointed.listeners.push(() => this.dots());
    this.draw();
  }

  /**
   * @param {string} label
   * @param {number} chosen
   * @param {(axis: number) => void} take
   */
  select(label, chosen, take) {
    const select = make("select", {}, ...this.page.axes.map((/** @type {any} */ axis, /** @type {number} */ i) =>
      make("option", { value: i, selected: i === chosen }, axis.short)));
    select.addEventListener("change", () => {
      take(Number(select.value));
      this.draw();
    });
    return make("label", {}, make("span", {}, label), select);
  }

  draw() {
    const { page, words } = this;
    const look = this.look = colours();
    this.chart.resize();
    this.chart.setOption({
      animation: false,
      backgroundColor: look.surface,
      tooltip: tooltip(page, words, [this.across, this.upward], look),
      grid: { left: 16, right: 24, top: 44, bottom: 40, containLabel: true },
      xAxis: this.axis(this.across, "x"),
      yAxis: this.axis(this.upward, "y"),
      series: [],
    }, { notMerge: true });
    this.dots();
  }

  /**
   * @param {number} i
   * @param {"x" | "y"} way
   */
  axis(i, way) {
    const axis = this.page.axes[i];
    const { look, words } = this;
    const mark = words.get(`unit.${axis.unit}`) ?? axis.unit;
    return {
      ...(axis.names.length > 0 ? { type: "category", data: axis.names } : { type: "value", scale: true }),
      name: mark === "" ? axis.short : `${axis.short} (${mark})`,
      nameLocation: way === "x" ? "middle" : "end", nameGap: way === "x" ? 32 : 16,
      nameTextStyle: { color: look?.ink, fontSize: 12, align: way === "x" ? "center" : "left" },
      axisLabel: {
        color: look?.muted, hideOverlap: true,
        formatter: tick(axis, words),
      },
      axisLine: { lineStyle: { color: look?.edge } },
      splitLine: { lineStyle: { color: look?.line } },
    };
  }

  /** Draw the dots: those outside the ranges faintly, the chosen one ringed. */
  dots() {
    const { page, look, brushed } = this;
    const [x, y] = [page.columns[this.across], page.columns[this.upward]];
    const size = page.groups.length > 600 ? 6 : 8;
    const { chosen } = this.pointed;
    const symbols = /** @type {any} */ ({ x: "circle", m: "circle", f: "diamond" });
    const data = (/** @type {string} */ group) => [...page.groups].flatMap((own, row) =>
      own === group && !brushed.hidden.has(group) && x[row] !== null && y[row] !== null
        ? [{ row, value: [x[row], y[row]], ...(brushed.within[row] ? {} : { itemStyle: { opacity: 0.06 }, silent: true }) }] : []);
    const ringed = x[chosen] === null || y[chosen] === null ? [] : [{ row: chosen, value: [x[chosen], y[chosen]] }];
    this.chart.setOption({
      series: [
        ...GROUPS.map((group, i) => ({
          id: group, type: "scatter", symbol: symbols[group], symbolSize: group === "f" ? size + 4 : size, z: 2 + i,
          itemStyle: { color: look?.[group], opacity: group === "x" ? 0.4 : 0.85 },
          emphasis: { itemStyle: { color: look?.chosen, opacity: 1 } },
          data: data(group),
        })),
        {
          id: "chosen", type: "scatter", symbol: "circle", symbolSize: size + 10, z: 9, silent: true,
          itemStyle: { color: "transparent", borderColor: look?.chosen, borderWidth: 2.5 }, data: ringed,
        },
      ],
    });
  }

  fit() {
    this.chart.resize();
  }

  flush() {
    this.chart.getZr().refreshImmediately();
  }
}
