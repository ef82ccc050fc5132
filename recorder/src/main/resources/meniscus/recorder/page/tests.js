// The tests of the data folder: the list, one test.

import {el, svg, table} from "./build.js";
import {findings} from "./change.js";
import {curve} from "./curve.js";
import {ask} from "./live.js";
import {fixed, NONE, placesOf, ticks, when, withInterval} from "./numbers.js";

export class Tests {
  constructor(live) {
    this.live = live;
  }

  // ------------------------------------------------------------------ the list

  list() {
    const search = el("input", {id: "search", type: "search", autocomplete: "off", oninput: () => show()});
    const kind = el("select", {id: "kind", onchange: () => show()},
      ["all", "intake", "exhaust", "doubtful", "unfinished"].map((word) => el("option", {value: word}, word)));
    const rows = el("div", {}, el("p", {}, "Reading…"));
    let tests = [];
    const show = () => {
      const words = search.value.toLowerCase().split(/\s+/).filter(Boolean);
      const found = tests.filter((test) => words.every((word) => haystack(test).includes(word)) && fits(test, kind.value));
      rows.replaceChildren(found.length ? this.rows(found) : el("p", {}, tests.length ? "Nothing found." : "No tests in the data folder yet."));
    };
    ask("/api/tests").then((list) => {
      tests = list;
      show();
    }, (error) => rows.replaceChildren(el("p", {class: "fault", role: "alert"}, error.message)));
    return el("div", {class: "page"}, el("h1", {}, "Tests"),
      el("form", {class: "line", role: "search", onsubmit: (event) => event.preventDefault()},
        el("label", {for: "search"}, "Search"), search, el("label", {for: "kind"}, "Show"), kind),
      el("p", {}, el("a", {href: "#change"}, "Compare before and after")),
      rows);
  }

  rows(tests) {
    return table(["Test", "Taken", "Part", "Port", "Rungs", "Points", "Altered since"], tests.map((test) => [
      test.stands === "finished" ? el("a", {href: `#test/${encodeURIComponent(test.name)}`}, test.name) : test.name,
      test.at ? when(test.at) : NONE,
      test.plan ? [test.plan.head, test.plan.port].filter(Boolean).join(", ") : test.why ?? test.stands,
      test.plan ? `${test.plan.port_kind}, ${test.plan.direction}` : NONE,
      test.plan ? String(test.plan.rungs) : NONE,
      test.plan ? `${test.points}${test.doubtful ? `, ? ${test.doubtful} doubtful` : ""}` : NONE,
      [test.follows ? `${test.follows}:` : "", ...(test.changes ?? [])].filter(Boolean).join(" ") || NONE,
    ]));
  }

  // ------------------------------------------------------------------ one test

  one(name) {
    const node = el("div", {class: "page"}, el("h1", {}, name), el("p", {}, "Reading…"));
    ask(`/api/test?name=${encodeURIComponent(name)}`).then(
      (test) => node.replaceChildren(el("h1", {}, name), ...parts(test)),
      (error) => node.replaceChildren(el("h1", {}, name), el("p", {class: "fault", role: "alert"}, error.message)));
    return node;
  }
}

function haystack(test) {
  return JSON.stringify([test.name, test.title, test.plan, test.at, test.changes]).toLowerCase();
}

function fits(test, kind) {
  return kind === "all" || test.plan?.port_kind === kind || (kind === "doubtful" && test.doubtful > 0) || test.stands === kind;
}

function parts(test) {
  const {units} = test;
  const places = placesOf(units.lift);
  return [
    el("p", {}, `${test.title}, ${when(test.at)}`),
    test.damage.length ? el("p", {class: "fault"}, test.damage.join("; ")) : "",
    el("p", {class: "hint"}, `Flow, ${units.flow}, over lift, ${units.lift}; a triangle is a doubtful point.`),
    el("div", {class: "curve tall"}, curve([{name: test.name, kind: "now", points: test.curve.filter((p) => p.sweep === "opening")}],
      {width: 1000, height: 340, units, size: 16})),
    table(["Rung", `Lift, ${units.lift}`, `Flow, ${units.flow}`, `Test pressure, ${units.pressure}`, "Cd, curtain", "Verdict", "Unsteadiness", "Averaged, s", "Remarks"],
      test.curve.map((p) => [
        String(p.rung), fixed(p.lift, places), withInterval(p.flow, p.flow_u95, units.flow),
        fixed(p.test_pressure, placesOf(units.pressure) + 1), fixed(p.cd_curtain, 3),
        (p.doubtful ? "? " : "") + p.verdict, fixed(p.unsteadiness, 1), fixed(p.seconds, 1), remarks(p.remarks),
      ]), "Points, with 95 % intervals of all sources"),
    ...test.beside.map((one) => table(one.columns, one.rows, `${one.title}: means with 95 % intervals, beside the flow`)),
    ...findings(test.findings),
    el("p", {}, el("a", {href: `#report/${new URLSearchParams({test: test.name})}`}, "Report, to print"), " · ",
      el("a", {href: `#change/${new URLSearchParams({after: test.name})}`}, "Compare with an earlier test")),
    el("h2", {}, "Each rung: where its uncertainty comes from, and its readings"),
    ...test.curve.map((p) => el("details", {ontoggle: (event) => openRung(event.currentTarget, test.name, p.rung)},
      el("summary", {}, `Rung ${p.rung}, lift ${fixed(p.lift, places)} ${units.lift}`),
      p.budget.length ? table(["Source", "Kind", `Standard uncertainty, ${units.flow}`],
        [...p.budget].sort((a, b) => b.u - a.u).map((row) => [row.source, row.kind, fixed(row.u, 3)]))
        : el("p", {}, "No budget was worked out for this point."))),
  ];
}

/** The first remark says most; the others are there for who asks. */
function remarks([first, ...others]) {
  return others.length ? el("details", {}, el("summary", {}, `${first}; ${others.length} more`), others.join("; ")) : first ?? "";
}

/** The readings of a rung are fetched when they are first looked at. */
async function openRung(node, name, rung) {
  if (!node.open || node.querySelector(".raw")) {
    return;
  }
  const box = el("div", {class: "raw"}, el("p", {}, "Reading…"));
  node.append(box);
  try {
    const raw = await ask(`/api/rung?name=${encodeURIComponent(name)}&rung=${rung}`);
    box.replaceChildren(...raw.channels.filter((channel) => channel.at.length > 1).map((channel) => el("figure", {},
      el("figcaption", {}, `${channel.name}, ${channel.unit}, as read: ${channel.readings} readings`), readings(channel))));
  } catch (error) {
    box.replaceChildren(el("p", {class: "fault"}, error.message));
  }
}

function readings(channel) {
  const [width, height, left, bottom] = [860, 150, 70, 124];
  const low = Math.min(...channel.low);
  const high = Math.max(...channel.high, low + 1e-6);
  const end = channel.at.at(-1) || 1;
  const x = (at) => left + (at / end) * (width - left - 8);
  const y = (value) => bottom - ((value - low) / (high - low)) * (bottom - 10);
  const up = channel.at.map((at, i) => `${x(at).toFixed(1)},${y(channel.high[i]).toFixed(1)}`);
  const down = channel.at.map((at, i) => `${x(at).toFixed(1)},${y(channel.low[i]).toFixed(1)}`).reverse();
  return svg("svg", {viewBox: `0 0 ${width} ${height}`, width, height, "font-size": 14, role: "img", class: "readings",
    "aria-label": `${channel.name}: ${low} to ${high} ${channel.unit} over ${Math.round(end)} s`},
  ticks(low, high, 3).map((tick) => [
    svg("line", {x1: left, x2: width - 8, y1: y(tick.at), y2: y(tick.at), class: "grid"}),
    svg("text", {x: left - 6, y: y(tick.at) + 5, "text-anchor": "end"}, tick.text)]).flat(),
  ticks(0, end, 8).map((tick) => svg("text", {x: x(tick.at), y: bottom + 18, "text-anchor": "middle"}, `${tick.text} s`)),
  svg("polygon", {points: [...up, ...down].join(" ")}));
}
