// The charts of a finished test, one at a time.

import {button, el} from "./build.js";
import {chart} from "./chart.js";
import {curve} from "./curve.js";
import {choice} from "./fields.js";
import {fixed, placesOf, withInterval} from "./numbers.js";
import {saveSvg as saveDrawing} from "./picture.js";

/** A sweep of test pressure is one from this many pressures at one lift. */
const LEAST_OF_SWEEP = 3;

/** What a sweep goes along; how little its areas differ is what it is looked at for. */
const PRESSURE = "test pressure";

/** What can be drawn: [key, words, what stands along and up (value, unit), points]. */
function charts({units, shape_units: shapes, curve: points}) {
  const main = points.filter((p) => p.on_curve);
  const share = (p) => p.flow_u95 / p.flow;
  const lift = [(p) => p.lift, units.lift, "lift"];
  const ratio = [(p) => p.l_over_d, "", "L/D"];
  return [
    ["flow", "Flow over lift", lift, [(p) => p.flow, units.flow, (p) => p.flow_u95 ?? p.flow_repeat_u95], main],
    ["cd", "Discharge coefficient (curtain area) over L/D", ratio, [(p) => p.cd_curtain, "", (p) => p.cd_curtain * share(p)], main],
    ["per-area", "Flow per valve area over L/D", ratio, [(p) => p.flow_per_area, shapes?.per_area ?? "", (p) => p.flow_per_area_u95], main],
    ["unsteadiness", "Unsteadiness over lift (1: as calm as a plate)", lift, [(p) => p.unsteadiness, "", () => NaN], main],
    ["velocity", "Air velocity in the smallest section over lift", lift, [(p) => p.velocity, shapes?.velocity ?? "", (p) => p.velocity_u95], main],
    ...sweeps(points).map(([at, list]) => [`sweep-${at}`, `Effective area over test pressure, at lift ${fixed(at, placesOf(units.lift))} ${units.lift}`,
      [(p) => p.test_pressure, units.pressure, PRESSURE], [(p) => p.effective_area, shapes?.area ?? "", (p) => p.effective_area * share(p)], list]),
  ].map(([key, words, [x, xUnit, along], [y, yUnit, u], list]) => ({
    key, words, along, units: {lift: xUnit, flow: yUnit},
    points: list.map((p) => ({...p, lift: x(p), flow: y(p), flow_u95: u(p) > 0 ? u(p) : undefined, flow_repeat_u95: undefined})).filter((p) => Number.isFinite(p.lift) && Number.isFinite(p.flow)),
  })).filter((chart) => chart.points.length > 1);
}

/** Lifts that were taken at several test pressures: [lift, points]. */
function sweeps(points) {
  const at = new Map();
  points.filter((p) => p.sweep !== "other_way").forEach((p) => at.set(p.lift, [...(at.get(p.lift) ?? []), p]));
  return [...at].filter(([, list]) => new Set(list.map((p) => Math.round(p.test_pressure * 10))).size >= LEAST_OF_SWEEP &&
    Math.max(...list.map((p) => p.test_pressure)) > 1.2 * Math.min(...list.map((p) => p.test_pressure)));
}

/** All charts of a test. */
export function plots(test) {
  const all = charts(test);
  if (!all.length) {
    return el("p", {class: "hint"}, "Too few points for a chart.");
  }
  const box = el("div", {id: "plot"});
  const show = () => box.replaceChildren(drawn(test, all.find((chart) => chart.key === chosen.value)));
  const chosen = choice(all.map((chart) => [chart.key, chart.words]), all[0].key, {id: "chart", "aria-label": "Chart", onchange: show});
  show();
  return el("section", {class: "plots"}, el("p", {class: "line"}, chosen, button("Print", () => window.print())), box);
}

function drawn(test, one) {
  const points = [...one.points].sort((a, b) => a.lift - b.lift);
  const most = points.at(-1).lift;
  const name = `${test.name.replaceAll("/", "-")}-${one.key}`;
  return chart({
    name, spoken: `${one.words}: ${points.map((point) => words(one, point)).join("; ")}`,
    x: points.map((p) => p.lift), whole: [0, most * 1.04], fromZero: one.along !== PRESSURE, height: 340,
    along: [one.along, one.units.lift].filter(Boolean).join(", "),
    series: [{values: points.map((p) => p.flow), u95: points.map((p) => p.flow_u95 ?? 0), look: "now"}],
    mark: (i) => points[i].doubtful ? "doubt" : "dot",
    words: (i) => words(one, points[i]),
    hint: `${one.words}${one.units.flow ? `, ${one.units.flow}` : ""}. Point at it, or use the arrow keys; draw across it to look closer.`,
    svg: (from, to) => saveSvg(points.filter((p) => p.lift >= from && p.lift <= to), one, test, name),
  });
}

/** The drawing is made for the file: on the page the chart is a canvas. */
function saveSvg(points, one, test, name) {
  const drawing = curve([{name: test.name, kind: "now", points}], {width: 1000, height: 340, units: one.units, size: 16});
  const holder = el("div", {class: "curve tall unseen"}, drawing);
  document.body.append(holder);
  saveDrawing(drawing, name);
  holder.remove();
}

function words({along, units}, point) {
  const value = Number.isFinite(point.flow_u95) ? withInterval(point.flow, point.flow_u95, units.flow) : fixed(point.flow, 2);
  const where = [along, fixed(point.lift, units.lift ? placesOf(units.lift) : 3), units.lift].filter(Boolean).join(" ");
  return `${where}: ${[value, units.flow].filter(Boolean).join(" ")}, ${point.verdict}${point.doubtful ? ", doubtful" : ""}`;
}
