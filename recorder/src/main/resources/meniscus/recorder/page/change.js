// Before against after: what changed at which lift, and what can be said of it.

import {el, svg, table} from "./build.js";
import {curve} from "./curve.js";
import {ask} from "./live.js";
import {decimals, fixed, NONE, placesOf, ticks, withInterval} from "./numbers.js";

/** Each outcome has a sign, a word and a colour. */
const SIGNS = {"gain": "▲", "loss": "▼", "no real change": "=", "cannot tell yet": "?"};

/** The same signs as paths around a place, the last as an empty ring. */
const MARKS = {
  "gain": (x, y) => `M${x} ${y - 9}l9 15h-18Z`,
  "loss": (x, y) => `M${x} ${y + 9}l9 -15h-18Z`,
  "no real change": (x, y) => `M${x - 8} ${y - 6}h16v4h-16ZM${x - 8} ${y + 2}h16v4h-16Z`,
  "cannot tell yet": (x, y) => `M${x - 7} ${y}a7 7 0 1 0 14 0a7 7 0 1 0 -14 0Z`,
};

/** @param parameters URLSearchParams: before, after (each once or more), margin, despite */
export function changePage(parameters) {
  const node = el("div", {class: "page"}, el("h1", {}, "Before and after"));
  const chosen = parameters.getAll("before").length > 0 && parameters.getAll("after").length > 0;
  const form = chooser(parameters);
  const result = el("div", {});
  // What was found comes first; the choice is still at hand.
  node.append(chosen ? el("details", {class: "choice"},
    el("summary", {}, `Before: ${parameters.getAll("before").join(", ")} · After: ${parameters.getAll("after").join(", ")} · choose others`), form) : form, result);
  if (chosen) {
    result.append(el("p", {}, "Working it out…"));
    show(parameters, result);
  }
  return node;
}

function chooser(parameters) {
  const before = el("select", {id: "before", multiple: true, size: 5, required: true});
  const after = el("select", {id: "after", multiple: true, size: 5, required: true});
  const margin = el("input", {id: "margin", placeholder: "1 %", value: parameters.get("margin") ?? "", size: 6});
  const despite = el("input", {id: "despite", value: parameters.get("despite") ?? "", maxlength: 300});
  ask("/api/tests").then((tests) => {
    for (const test of tests.filter((one) => one.stands === "finished")) {
      for (const [select, side] of [[before, "before"], [after, "after"]]) {
        select.append(el("option", {value: test.name, selected: parameters.getAll(side).includes(test.name)}, test.name));
      }
    }
  }, () => {});
  return el("form", {class: "card", onsubmit: (event) => {
    event.preventDefault();
    const chosen = new URLSearchParams();
    for (const [select, side] of [[before, "before"], [after, "after"]]) {
      for (const option of select.selectedOptions) {
        chosen.append(side, option.value);
      }
    }
    if (margin.value.trim()) {
      chosen.set("margin", margin.value);
    }
    if (despite.value.trim()) {
      chosen.set("despite", despite.value);
    }
    location.hash = `change/${chosen}`;
  }},
  el("div", {class: "two"},
    el("div", {}, el("label", {for: "before"}, "Before"), before),
    el("div", {}, el("label", {for: "after"}, "After"), after),
    el("div", {},
      el("label", {for: "margin"}, "Smaller changes are no real change"), margin,
      el("label", {for: "despite"}, "Compare although set-ups differ, because"), despite)),
  el("button", {type: "submit", class: "keep", id: "compare"}, "Compare"));
}

async function show(parameters, result) {
  try {
    const names = [...parameters.getAll("before"), ...parameters.getAll("after")];
    const [change, ...tests] = await Promise.all([
      ask(`/api/change?${parameters}`),
      ...names.map((name) => ask(`/api/test?name=${encodeURIComponent(name)}`)),
    ]);
    result.replaceChildren(...parts(change, tests, parameters));
  } catch (error) {
    result.replaceChildren(el("p", {class: "fault", role: "alert"}, error.message));
  }
}

function parts(change, tests, parameters) {
  const count = parameters.getAll("before").length;
  const places = placesOf(change.unit.lift);
  return [
    el("p", {class: "verdict-line"}, change.what_changed),
    el("div", {class: "side"},
      el("figure", {class: "curve"}, el("figcaption", {}, `Flow, ${tests[0].units.flow}, over lift, ${tests[0].units.lift}. Dashed with squares: before; solid with dots: after; triangle: doubtful.`),
        curve(tests.map((test, i) => ({name: test.name, kind: i < count ? "earlier" : "now", points: test.curve.filter((p) => p.sweep === "opening")})),
          {width: 640, height: 380, units: tests[0].units, size: 16})),
      el("figure", {class: "curve"}, el("figcaption", {}, `Difference, %, over lift, ${change.unit.lift}, with the interval that decided. Grey band: no real change. ▲ gain, ▼ loss, = no real change, ring: cannot tell yet.`), differences(change))),
    table([`Lift, ${change.unit.lift}`, `Before, ${change.unit.flow}`, "After", "Difference", "%", "Outcome", "By what it was told"],
      change.lifts.map((row) => [
        fixed(row.lift, places), number(row.before), number(row.after),
        Number.isFinite(row.difference) ? withInterval(row.difference, row.decided_by, change.unit.flow) : NONE,
        Number.isFinite(row.difference_percent) ? percent(row) : NONE,
        el("span", {class: `outcome ${row.outcome.replaceAll(" ", "-")}`}, `${SIGNS[row.outcome] ?? ""} ${row.outcome}${row.reason ? `: ${row.reason}` : ""}`),
        row.said ?? NONE,
      ]), "Differences with the intervals that decided, for all lifts and their average at once"),
    el("p", {id: "average"}, change.whole_curve.sentence),
    el("p", {class: "hint"}, change.scatter),
    ...findings(change.findings),
    el("p", {}, el("a", {href: `#report/${parameters}`, id: "report"}, "Report, to print"), " · ",
      el("a", {href: `/report?${parameters}&sheet=short`, id: "short", target: "_blank"}, "One page for the customer")),
    el("p", {id: "charts"}, "Charts to keep: ", ...["flow", "change", "card"].flatMap((name) => ["svg", "png"].flatMap((form) =>
      [el("a", {href: `/chart?${parameters}&chart=${name}.${form}`, download: `${name}.${form}`}, `${name}.${form}`), " "]))),
  ];
}

function number(value) {
  return Number.isFinite(value) ? fixed(value, 1) : NONE;
}

/** A change inside its interval is never shown as a bare percentage. */
function percent(row) {
  const places = Math.min(2, decimals(row.decided_by_percent));
  return `${fixed(row.difference_percent, places)} ± ${fixed(row.decided_by_percent, places)}`;
}

export function findings(list) {
  return list.length ? [el("h2", {}, "Findings"), ...list.map((finding) => el("div", {class: "finding"},
    el("p", {}, el("strong", {}, finding.sentence)),
    el("ul", {}, finding.evidence.map((line) => el("li", {}, line))),
    el("p", {}, `Next: ${finding.next_step}`),
    finding.kind === "repeatability" ? el("p", {}, el("a", {href: "#set-up/repeat", class: "learn-repeatability"}, "Learn the repeatability")) : ""))] : [];
}

/** Differences in percent with their intervals over the band of no real change. */
function differences(change) {
  const rows = change.lifts.filter((row) => Number.isFinite(row.difference_percent));
  const most = Math.max(2, ...rows.map((row) => Math.abs(row.difference_percent) + (row.decided_by_percent ?? 0))) * 1.1;
  const margins = rows.map((row) => [row.lift, 100 * (row.margin ?? 0) / row.before]).filter(([, m]) => m > 0);
  const right = Math.max(...rows.map((row) => row.lift), 0) * 1.04 || 1;
  const [width, height, left, top, bottom] = [640, 380, 64, 10, 346];
  const x = (lift) => left + (lift / right) * (width - left - 16);
  const y = (percentage) => (top + bottom) / 2 - (percentage / most) * (bottom - top) / 2;
  return frame(rows, {x, y, most, width, height, left, right, bottom, margins, unit: change.unit.lift});
}

function frame(rows, f) {
  const parts = [];
  if (f.margins.length) {
    const [first, last] = [f.margins[0], f.margins.at(-1)];
    const along = [[0, first[1]], ...f.margins, [f.right, last[1]]];
    const edge = (sign) => along.map(([lift, m]) => `${f.x(lift)},${f.y(sign * Math.min(m, f.most))}`);
    parts.push(svg("polygon", {points: [...edge(1), ...edge(-1).reverse()].join(" "), class: "no-change"}));
  }
  for (const tick of ticks(-f.most, f.most, 5)) {
    parts.push(svg("line", {x1: f.left, x2: f.width - 16, y1: f.y(tick.at), y2: f.y(tick.at), class: Math.abs(tick.at) < 1e-9 ? "zero" : "grid"}),
      svg("text", {x: f.left - 8, y: f.y(tick.at) + 5, "text-anchor": "end"}, `${tick.text} %`));
  }
  for (const tick of ticks(0, f.right, 8)) {
    parts.push(svg("text", {x: f.x(tick.at), y: f.bottom + 25, "text-anchor": "middle"}, tick.text));
  }
  for (const row of rows) {
    const [a, b] = [f.y(row.difference_percent - row.decided_by_percent), f.y(row.difference_percent + row.decided_by_percent)];
    parts.push(svg("g", {class: `of ${row.outcome.replaceAll(" ", "-")}`},
      svg("path", {d: `M${f.x(row.lift)} ${a}V${b}M${f.x(row.lift) - 6} ${a}h12M${f.x(row.lift) - 6} ${b}h12`, class: "bar"}),
      svg("path", {d: MARKS[row.outcome](f.x(row.lift), f.y(row.difference_percent)), class: "mark"})));
  }
  const spoken = rows.map((row) => `lift ${row.lift} ${f.unit}: ${row.outcome}`).join("; ");
  return svg("svg", {viewBox: `0 0 ${f.width} ${f.height}`, width: f.width, height: f.height, "font-size": 16, role: "img",
    "aria-label": `Differences in percent over lift. ${spoken}`}, svg("g", {class: "run now"}, parts));
}
