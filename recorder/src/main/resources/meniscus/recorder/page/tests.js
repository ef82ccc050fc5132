// The tests of the data folder: the list, one test.

import {button, el, say, sent, svg, table, taken, waiting} from "./build.js";
import {findings} from "./change.js";
import {choice} from "./fields.js";
import {ask} from "./live.js";
import {count, fixed, NONE, placesOf, when, withInterval} from "./numbers.js";
import {photos} from "./photos.js";
import {plots} from "./plot.js";
import {openRung} from "./rung.js";

export class Tests {
  constructor(live) {
    this.live = live;
  }

  // ------------------------------------------------------------------ the list

  list() {
    const search = el("input", {id: "search", type: "search", autocomplete: "off", oninput: () => soon()});
    const kind = choice(["all", "intake", "exhaust", "doubtful", "unfinished"], "all", {id: "kind", onchange: () => taken(kind, show(0))});
    const sort = choice([["newest", "newest first"], ["oldest", "oldest first"], ["name", "name"], ["peak", "highest flow first"]], "newest", {id: "sort", onchange: () => taken(sort, show(0))});
    const rows = el("div", {});
    const picked = new Map();
    const compare = el("a", {id: "compare-picked", class: "keep", hidden: true});
    const points = el("a", {id: "export-picked", hidden: true, download: ""}, "Points of those ticked, CSV");
    const pick = (test, on) => {
      on ? picked.set(test.name, test.at) : picked.delete(test.name);
      const [before, after] = [...picked].sort((a, b) => a[1] < b[1] ? -1 : 1).map(([name]) => name);
      compare.hidden = picked.size !== 2;
      points.hidden = !picked.size;
      points.href = `/export?${new URLSearchParams([...picked].map(([name]) => ["test", name]))}`;
      compare.href = `#change/${new URLSearchParams({before, after})}`;
      say(compare, `Compare ${before} with ${after}`);
    };
    let asked = 0;
    let timer = 0;
    const soon = () => {
      clearTimeout(timer);
      timer = setTimeout(() => taken(search, show(0)), TYPED_MS);
    };
    const show = async (from) => {
      const mine = ++asked;
      try {
        const leaf = await ask(`/api/test-list?${new URLSearchParams({words: search.value, show: kind.value, sort: sort.value, from})}`);
        if (mine === asked) { // an answer that was overtaken is not shown
          rows.replaceChildren(...leaf.tests.length ? [this.rows(leaf.tests, picked, pick), leaves(leaf, show)]
            : [el("p", {}, leaf.of ? "Nothing found." : "No tests in the data folder yet.")]);
        }
      } catch (error) {
        rows.replaceChildren(el("p", {class: "fault", role: "alert"}, error.message));
      }
    };
    rows.append(waiting("Reading…", show(0)));
    return el("div", {class: "page"}, el("h1", {}, "Tests"),
      el("form", {class: "line", role: "search", onsubmit: (event) => event.preventDefault()},
        el("label", {for: "search"}, "Search"), search, el("label", {for: "kind"}, "Show"), kind, el("label", {for: "sort"}, "Order"), sort),
      el("p", {class: "line"}, compare, points, el("span", {class: "hint"}, "Tick two tests to compare them, or "), el("a", {href: "#change"}, "compare several")),
      rows);
  }

  rows(tests, picked, pick) {
    return table(["Compare", "Test", "Taken", "Part", "Port", "Peak flow", "Curve", "Points", "Altered since"], tests.map((test) => [
      test.stands === "finished" ? tick(test, picked.has(test.name), pick) : "",
      test.stands === "finished" ? el("a", {href: `#test/${encodeURIComponent(test.name)}`}, test.name) : test.name,
      test.at ? when(test.at) : NONE,
      test.plan ? [test.plan.head, test.plan.port].filter(Boolean).join(", ") : test.why ?? test.stands,
      test.plan ? `${test.plan.port_kind}, ${test.plan.direction}` : NONE,
      Number.isFinite(test.peak) ? `${fixed(test.peak, placesOf(test.units.flow))} ${test.units.flow}` : NONE,
      test.small_curve?.length > 2 ? small(test.small_curve) : NONE,
      test.plan ? `${test.points} of ${test.plan.rungs}${test.doubtful ? `, ? ${test.doubtful} doubtful` : ""}` : NONE,
      [test.follows ? `${test.follows}:` : "", ...(test.changes ?? [])].filter(Boolean).join(" ") || NONE,
    ]));
  }

  // ------------------------------------------------------------------ one test

  one(name) {
    const node = el("div", {class: "page"}, el("h1", {}, name));
    const show = () => ask(`/api/test?name=${encodeURIComponent(name)}`).then(
      (test) => node.replaceChildren(el("h1", {}, name), ...parts(test, show)),
      (error) => node.replaceChildren(el("h1", {}, name), el("p", {class: "fault", role: "alert"}, error.message)));
    node.append(waiting("Reading…", show()));
    return node;
  }
}

/** Who types is asked for when he pauses, not at each letter [ms]. */
const TYPED_MS = 150;

function tick(test, checked, pick) {
  const box = el("input", {type: "checkbox", checked, "aria-label": `Compare ${test.name}`, onchange: () => pick(test, box.checked)});
  return el("label", {class: "check"}, box);
}

/** The curve as small as a word: lift and flow by turns, from nothing at no lift. */
function small(spots) {
  const [width, height] = [96, 28];
  const points = [];
  for (let i = 0; i < spots.length; i += 2) {
    points.push([spots[i], spots[i + 1]]);
  }
  const lift = Math.max(...points.map((p) => p[0])) || 1;
  const flow = Math.max(...points.map((p) => p[1])) || 1;
  return svg("svg", {viewBox: `0 0 ${width} ${height}`, width, height, class: "small-curve", "aria-hidden": "true"},
    svg("polyline", {points: points.map(([x, y]) => `${(x / lift) * (width - 4) + 2},${height - 2 - (y / flow) * (height - 4)}`).join(" ")}));
}

/** Which leaf this is, and the ways to the others. */
function leaves({total, from, leaf}, show) {
  return el("p", {class: "line", id: "leaf"}, total > leaf ? `${from + 1} to ${Math.min(total, from + leaf)} of ${total}` : count(total, "test"),
    from > 0 ? button("Earlier page", () => show(Math.max(0, from - leaf)), {id: "leaf-back"}) : "",
    from + leaf < total ? button("Next page", () => show(from + leaf), {id: "leaf-on"}) : "");
}

/** @param again shows the test anew, once something is written to it */
function parts(test, again) {
  const {units} = test;
  const places = placesOf(units.lift);
  return [
    el("p", {}, `${test.title}, ${when(test.at)}`),
    test.damage.length ? el("p", {class: "fault"}, test.damage.join("; ")) : "",
    plots(test),
    el("p", {class: "hint"}, "A triangle is a point to look at again. Unsteadiness: how many times as much the flow fluctuates as the bench's own does on a plate (its calm record)."),
    table(["No.", `Lift, ${units.lift}`, `Flow, ${units.flow}`, `Test pressure, ${units.pressure}`, "Cd, curtain", "Verdict", "Unsteadiness", "Averaged, s", "Remarks"],
      test.curve.map((p) => [
        String(p.rung), fixed(p.lift, places), withInterval(p.flow, p.flow_u95, units.flow),
        fixed(p.test_pressure, placesOf(units.pressure) + 1), fixed(p.cd_curtain, 3),
        (p.doubtful ? "? " : "") + p.verdict, fixed(p.unsteadiness, 1), fixed(p.seconds, 1), remarks(p.set_aside ? [p.set_aside, ...p.remarks] : p.remarks),
      ]), "Points, with 95 % intervals of all sources"),
    ...test.beside.map((one) => table(one.columns, one.rows, `${one.title}: means with 95 % intervals, beside the flow`)),
    ...findings(test.findings),
    ...notes(test, again),
    ...photos(test, again),
    el("p", {}, el("a", {href: `#report/${new URLSearchParams({test: test.name})}`}, "Report, to print"), " · ",
      el("a", {id: "history", href: `#report/${new URLSearchParams({test: test.name, sheet: "history"})}`}, "History of this head"), " · ",
      el("a", {id: "head-sheet", href: `#report/${new URLSearchParams({test: test.name, sheet: "head"})}`}, "One page for this head"), " · ",
      el("a", {href: `#change/${new URLSearchParams({after: test.name})}`}, "Compare with an earlier test")),
    el("p", {id: "exports"}, "Its points for other programs: ", ...[["csv", "CSV"], ["csv-comma", "CSV with decimal commas"], ["json", "JSON"]].flatMap(([form, words], i) =>
      [i ? " · " : "", el("a", {href: `/export?${new URLSearchParams({test: test.name, form})}`, download: ""}, words)])),
    el("p", {}, el("a", {id: "repeat-test", href: `#set-up/plan/${encodeURIComponent(test.name)}`}, "Take it again, or the next port: its plan"), " · ",
      el("a", {href: "#set-up/repeat"}, "Learn how well the bench repeats")),
    el("h2", {}, "Each lift: where its uncertainty comes from, and its readings"),
    ...test.curve.map((p) => el("details", {ontoggle: (event) => openRung(event.currentTarget, test, p)},
      el("summary", {}, `Lift ${fixed(p.lift, places)} ${units.lift} (${p.rung} of ${test.curve.length})`),
      p.budget.length ? table(["Source", "Kind", `Standard uncertainty, ${units.flow}`],
        [...p.budget].sort((a, b) => b.u - a.u).map((row) => [row.source, row.kind, fixed(row.u, 3)]))
        : el("p", {}, "No budget was worked out for this point."), aside(test, p, again))),
  ];
}

/** Writes to the test, and shows it anew; what cannot be written is said where it was asked for. */
async function write(test, body, said, again) {
  say(said, "");
  try {
    await ask("/api/note", {name: test.name, ...body});
    await again();
  } catch (error) {
    say(said, error.message);
  }
}

/** What was written down beside the numbers, and room for more. */
function notes(test, again) {
  const said = el("p", {class: "fault", role: "alert"});
  const note = el("input", {id: "note", required: true, maxlength: 500, autocomplete: "off"});
  return [el("h2", {}, "Notes"), test.notes.length ? el("ul", {id: "notes"}, test.notes.map((one) => el("li", {}, one))) : "",
    el("form", {class: "line", onsubmit: sent(() => write(test, {note: note.value}, said, again))}, el("label", {for: "note"}, "Write down"), note, el("button", {type: "submit"}, "Add the note")), said];
}

/** A lift that went wrong is set aside with its reason, and can be taken back; what was measured stays. */
function aside(test, point, again) {
  const said = el("p", {class: "fault", role: "alert"});
  if (point.set_aside) {
    return el("div", {}, el("p", {}, `This lift is ${point.set_aside}.`),
      button("Let it count again", () => write(test, {take_back: point.rung}, said, again), {class: "take-back"}), said);
  }
  const because = el("input", {id: `because-${point.rung}`, required: true, maxlength: 200, autocomplete: "off", placeholder: "e.g. spring held the valve"});
  return el("form", {class: "line set-aside", onsubmit: sent(() => write(test, {set_aside: point.rung, because: because.value}, said, again))}, el("label", {for: because.id}, "Set this lift aside because"), because, el("button", {type: "submit"}, "Set it aside"), said);
}

/** The first remark says most; the others are there for who asks. */
function remarks([first, ...others]) {
  return others.length ? el("details", {}, el("summary", {}, `${first}; ${others.length} more`), others.join("; ")) : first ?? "";
}
