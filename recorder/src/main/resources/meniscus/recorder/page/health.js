// Bench health: what was checked over time, with its limits.

import {button, el, svg} from "./build.js";
import {ticks, when} from "./numbers.js";

/** @param level notes that the bench stands level */
export function healthCharts(detail, level) {
  const charts = detail.health ?? [];
  const tasks = detail.tasks ?? [];
  return [
    el("p", {}, detail.since > "1971" ? `Epoch ${detail.epoch}, since ${detail.since} (${detail.why}).` : `Epoch ${detail.epoch}: the bench as it was first described.`),
    tasks.length ? el("div", {}, el("h3", {}, "Still to do in this epoch"), el("ul", {}, tasks.map((task) => el("li", {}, task))),
      el("p", {}, button("The bench stands level", level))) : "",
    ...charts.map((chart) => el("figure", {class: "health"},
      el("figcaption", {}, el("strong", {}, chart.title), `, ${chart.unit} `, chart.lines.length ? el("span", {class: chart.healthy ? "good" : "doubt"}, chart.healthy ? "✓ within its limits" : "▲ look at the bench") : null),
      drawn(chart),
      (chart.signals ?? []).length ? el("p", {}, chart.signals.join("; ")) : "",
      chart.learned === false ? el("p", {class: "hint"}, "Limits are those stated; from eight checks on they are learned.") : "")),
  ];
}

function drawn(chart) {
  const [width, height, left, right, top, bottom] = [900, 170, 76, 800, 12, 138];
  const values = [...chart.points, ...chart.lines].map((one) => one.value).filter(Number.isFinite);
  const reach = Math.max(...values) - Math.min(...values) || Math.abs(values[0]) || 1;
  const [low, high] = [Math.min(...values) - 0.12 * reach, Math.max(...values) + 0.12 * reach];
  const x = (i) => chart.points.length < 2 ? (left + right) / 2 : left + 20 + (i / (chart.points.length - 1)) * (right - left - 40);
  const y = (value) => bottom - ((value - low) / (high - low)) * (bottom - top);
  const names = {centre: "centre", warning: "warning", action: "action", limit: "limit"};
  const named = new Map();
  // One word a kind of line, and none over another.
  const fits = (line) => !named.has(line.kind) && [...named.values()].every((other) => Math.abs(other - y(line.value)) > 14) &&
    named.set(line.kind, y(line.value));
  return svg("svg", {viewBox: `0 0 ${width} ${height}`, width, height, "font-size": 14, role: "img", class: "readings",
    "aria-label": `${chart.title}: ${chart.points.map((one) => `${one.value} ${chart.unit}`).join(", ")}`},
  ticks(low, high, 4).map((tick) => [svg("line", {x1: left, x2: right, y1: y(tick.at), y2: y(tick.at), class: "grid"}),
    svg("text", {x: left - 8, y: y(tick.at) + 5, "text-anchor": "end"}, tick.text)]).flat(),
  chart.lines.map((line) => {
    return [svg("line", {x1: left, x2: right, y1: y(line.value), y2: y(line.value), class: `level ${line.kind}`}),
      fits(line) ? svg("text", {x: right + 8, y: y(line.value) + 5}, names[line.kind]) : null];
  }).flat().filter(Boolean),
  svg("g", {class: "run now"},
    svg("polyline", {points: chart.points.map((one, i) => `${x(i)},${y(one.value)}`).join(" ")}),
    chart.points.map((one, i) => one.within ? svg("circle", {cx: x(i), cy: y(one.value), r: 5, class: "dot"})
      : svg("path", {d: `M${x(i)} ${y(one.value) - 8} l8 14 h-16 Z`, class: "dot doubt"}))),
  chart.points.length ? [svg("text", {x: x(0), y: bottom + 22, "text-anchor": chart.points.length < 2 ? "middle" : "start"}, when(chart.points[0].at)),
    chart.points.length > 1 ? svg("text", {x: x(chart.points.length - 1), y: bottom + 22, "text-anchor": "end"}, when(chart.points.at(-1).at)) : null].filter(Boolean) : []);
}
