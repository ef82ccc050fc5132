// Before against after: what changed at which lift, and what can be said of it.

import {el, table, waiting} from "./build.js";
import {chart} from "./chart.js";
import {ask} from "./live.js";
import {decimals, fixed, NONE, placesOf, withInterval} from "./numbers.js";
import {offer} from "./picture.js";

/** Each outcome has a sign, a word and a colour. */
const SIGNS = {"gain": "▲", "loss": "▼", "no real change": "=", "cannot tell yet": "?"};

/** The marks of the outcomes in the chart. */
const MARKS = {"gain": "gain", "loss": "loss", "no real change": "same", "cannot tell yet": "unsure"};

/** So much is always in sight to both sides [%] (our own choice: a bench does not tell less). */
const REACH = 2;

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
    result.append(waiting("Working it out…", show(parameters, result)));
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
      el("figure", {}, el("figcaption", {}, `Flow, ${tests[0].units.flow}, over lift, ${tests[0].units.lift}. Dashed with squares: before; solid with dots: after; triangle: doubtful.`),
        flows(tests, count, parameters)),
      el("figure", {id: "differences"}, el("figcaption", {}, `Difference, %, over lift, ${change.unit.lift}, with the interval that decided. Grey band: no real change. ▲ gain, ▼ loss, = no real change, ring: cannot tell yet.${change.lifts.some((row) => row.scatter_known === false) ? " Where it is not known how well a head is put back, the interval leaves that out and nothing is called by it." : ""}`),
        differences(change, parameters))),
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

/** Each run over the lifts of all of them, those before first. */
function flows(tests, count, parameters) {
  const {units} = tests[0];
  const runs = tests.map((test, i) => ({name: test.name, before: i < count,
    at: new Map(test.curve.filter((p) => p.on_curve).reverse().map((p) => [p.lift, p]))})); // the first at each lift
  const x = [...new Set(runs.flatMap(({at}) => [...at.keys()]))].sort((a, b) => a - b);
  const points = (i) => runs.map(({at}) => at.get(x[i]));
  const words = (i) => `lift ${fixed(x[i], placesOf(units.lift))} ${units.lift}: ` + points(i).map((p, s) => p
    ? `${runs[s].name} ${withInterval(p.flow, p.flow_u95, units.flow)} ${units.flow}${p.doubtful ? ", doubtful" : ""}` : "").filter(Boolean).join("; ");
  return chart({
    ...frame(x, units.lift, "flow", parameters), fromZero: true, spoken: `Flow over lift. ${x.map((_, i) => words(i)).join("; ")}`, words,
    series: runs.map(({before}, s) => ({look: before ? "earlier" : "now", values: x.map((_, i) => points(i)[s]?.flow ?? null), u95: x.map((_, i) => points(i)[s]?.flow_u95 ?? 0)})),
    mark: (i, s) => points(i)[s].doubtful ? "doubt" : runs[s].before ? "square" : "dot",
  });
}

/** Differences in percent with their intervals over the band of no real change. */
function differences(change, parameters) {
  const rows = change.lifts.filter((row) => Number.isFinite(row.difference_percent));
  if (!rows.length) {
    return el("p", {class: "hint"}, "No lift was taken on both sides.");
  }
  const words = (i) => `lift ${fixed(rows[i].lift, placesOf(change.unit.lift))} ${change.unit.lift}: ${percent(rows[i])} %, ${rows[i].outcome}`;
  const margin = (sign) => rows.map((row) => row.margin > 0 ? sign * 100 * row.margin / row.before : null);
  return chart({
    ...frame(rows.map((row) => row.lift), change.unit.lift, "change", parameters), reach: [-REACH, REACH], spoken: `Differences over lift. ${rows.map((_, i) => words(i)).join("; ")}`, words,
    series: [{look: "margin", values: margin(-1)}, {look: "margin", values: margin(1)},
      {look: "outcomes", values: rows.map((row) => row.difference_percent), u95: rows.map((row) => row.decided_by_percent ?? 0)}],
    mark: (i) => MARKS[rows[i].outcome],
  });
}

/** What both charts have; the program draws them for paper. */
function frame(x, unit, name, parameters) {
  return {x, name, height: 340, along: `lift, ${unit}`, whole: [0, x.at(-1) * 1.04], hint: "Point at it, or use the arrow keys; draw across it to look closer.",
    svgWords: "Save all as SVG", svg: () => offer(`/chart?${parameters}&chart=${name}.svg`, `${name}.svg`)};
}
