// Bench health: what was checked over time, with its limits.

import {button, el, table} from "./build.js";
import {chart} from "./chart.js";
import {NONE, count, fixed, when} from "./numbers.js";

/** A single check stands in the middle of a day [s]. */
const ALONE_S = 43_200;

/** @param level notes that the bench stands level */
export function healthCharts(detail, level) {
  const charts = detail.health ?? [];
  const tasks = detail.tasks ?? [];
  return [
    el("p", {}, detail.epoch > 1 ? `The bench was last changed on ${detail.since} (${detail.why}).` : "The bench is as it was first described."),
    tasks.length ? el("div", {}, el("h3", {}, detail.epoch > 1 ? "Still to do since the bench was last changed" : "Still to do"), el("ul", {}, tasks.map((task) => el("li", {}, task))),
      el("p", {}, button("The bench stands level", level))) : "",
    ...charts.map((one) => el("figure", {class: "health"},
      el("figcaption", {}, el("strong", {}, one.title), `, ${one.unit} `, el("span", {class: one.healthy ? "good" : "doubt"}, state(one))),
      drawn(one),
      (one.signals ?? []).length ? el("p", {}, one.signals.join("; ")) : "",
      one.learned === false ? el("p", {class: "hint"}, "Limits are those stated; from eight checks on they are learned.") : "")),
    plateReadings(detail.plate_readings ?? {}),
  ];
}

/** What the newest mounting of a plate read, folded away. */
function plateReadings({folders, newest}) {
  return newest ? el("details", {},
    el("summary", {}, `Raw readings: ${count(folders, "mounting")} of plates, the newest of plate ${newest.plate}, ${when(newest.at)}`),
    table(["Test pressure", "Flow as the bench told it", "± 95 %"], newest.readings.map((one) => [one.at, one.flow, one.u95 ?? NONE])),
    el("p", {class: "hint"}, `All of it is in plate-readings/${newest.folder} beside the bench file; "meniscus recompute" works it out again.`)) : "";
}

function state({healthy, lines}) {
  return healthy ? lines.length ? "✓ within its limits" : "" : lines.length ? "▲ look at the bench" : "▲ not in use";
}

function drawn({title, unit, points, lines}) {
  const x = points.map((one) => Date.parse(one.at) / 1000);
  const apart = Math.max((x.at(-1) - x[0]) * 0.05, x.at(-1) > x[0] ? 1 : ALONE_S);
  const words = (i) => `${when(points[i].at)}: ${fixed(points[i].value, 3)}${points[i].u95 > 0 ? ` ± ${fixed(points[i].u95, 3)}` : ""} ${unit}` +
    `${points[i].within || points[i].remark ? "" : ", outside its limit"}${points[i].remark ? `; ${points[i].remark}` : ""}`;
  return chart({
    name: title.replace(/[^a-z0-9]+/gi, "-").toLowerCase(), spoken: `${title}: ${points.map((_, i) => words(i)).join("; ")}`,
    x, whole: [x[0] - apart, x.at(-1) + apart], time: true, height: 220,
    series: [{values: points.map((one) => one.value), u95: points.map((one) => one.u95 ?? 0), look: "now"}],
    levels: lines.map((line) => ({...line, text: line.kind})), mark: (i) => points[i].within ? "dot" : "doubt", words,
  });
}
