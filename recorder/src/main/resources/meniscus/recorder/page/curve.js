// Flow over lift, with intervals: this run over earlier ones.

import {svg} from "./build.js";
import {ticks, withInterval} from "./numbers.js";

const MARKERS = {
  now: (x, y) => svg("circle", {cx: x, cy: y, r: 6, class: "dot"}),
  doubtful: (x, y) => svg("path", {d: `M${x} ${y - 8} L${x + 8} ${y + 6} H${x - 8} Z`, class: "dot doubt"}),
  earlier: (x, y) => svg("rect", {x: x - 4, y: y - 4, width: 8, height: 8, class: "dot"}),
};

function usable(points) {
  return (points ?? []).filter((p) => Number.isFinite(p?.lift) && Number.isFinite(p?.flow))
    .sort((a, b) => a.lift - b.lift);
}

/**
 * @param runs [{name, kind: "now" | "earlier", points}]; points of the ladder's first sweep
 * @param frame {width, height, units, lifts: extent of the ladder, next: lift wanted, size: of text}
 */
export function curve(runs, frame) {
  const {width, height, units, size} = frame;
  const drawn = runs.map((run) => ({...run, points: usable(run.points)}));
  const all = drawn.flatMap((run) => run.points);
  const lifts = [...all.map((p) => p.lift), ...(frame.lifts ?? [])];
  const mostLift = Math.max(...lifts, 1e-9);
  const mostFlow = Math.max(...all.map((p) => p.flow + (p.flow_u95 ?? 0)), 1e-9) * 1.06;
  const left = size * 3.4;
  const right = width - size;
  const top = size * 0.8;
  const bottom = height - size * 1.9;
  const x = (lift) => left + (lift / (mostLift * 1.04)) * (right - left);
  const y = (flow) => bottom - (flow / mostFlow) * (bottom - top);

  const parts = [];
  for (const tick of ticks(0, mostLift * 1.04, Math.max(3, Math.min(7, width / 110)))) {
    parts.push(svg("text", {x: x(tick.at), y: bottom + size * 1.5, "text-anchor": "middle"}, tick.text));
  }
  for (const tick of all.length ? ticks(0, mostFlow, Math.max(2, Math.min(6, height / 60))) : []) {
    parts.push(svg("line", {x1: left, x2: right, y1: y(tick.at), y2: y(tick.at), class: tick.at === 0 ? "zero" : "grid"}));
    parts.push(svg("text", {x: left - 6, y: y(tick.at) + size * 0.35, "text-anchor": "end"}, tick.text));
  }
  if (Number.isFinite(frame.next)) {
    parts.push(svg("line", {x1: x(frame.next), x2: x(frame.next), y1: top, y2: bottom, class: "next"}));
  }
  for (const run of drawn) {
    parts.push(svg("g", {class: `run ${run.kind} ${run.look ?? ""}`}, draw(run, x, y)));
  }
  return svg(
    "svg",
    {viewBox: `0 0 ${width} ${height}`, width, height, role: "img", "aria-label": spoken(drawn, units), "font-size": size},
    parts,
  );
}

function draw(run, x, y) {
  const points = run.points;
  const parts = [];
  if (points.length > 1) {
    parts.push(svg("polyline", {points: points.map((p) => `${x(p.lift)},${y(p.flow)}`).join(" ")}));
  }
  for (const p of points) {
    const u = p.flow_u95 ?? p.flow_repeat_u95;
    if (Number.isFinite(u)) {
      const [a, b] = [y(p.flow - u), y(p.flow + u)];
      parts.push(svg("path", {d: `M${x(p.lift)} ${a}V${b}M${x(p.lift) - 5} ${a}h10M${x(p.lift) - 5} ${b}h10`, class: "bar"}));
    }
    const marker = run.kind === "now" && p.doubtful ? MARKERS.doubtful : MARKERS[run.kind];
    parts.push(marker(x(p.lift), y(p.flow)));
  }
  return parts;
}

function spoken(runs, units) {
  return runs.map((run) => `${run.name}: ` + (run.points.map(
    (p) => `${p.lift} ${units.lift} ${withInterval(p.flow, p.flow_u95, units.flow)} ${units.flow}`).join("; ") || "no points")).join(". ");
}
