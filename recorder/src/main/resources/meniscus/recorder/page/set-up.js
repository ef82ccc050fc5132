// Set-up: which bench there is, what its gauges say, and plans.

import {button, el, say, table} from "./build.js";
import {ask} from "./live.js";
import {fixed, NONE} from "./numbers.js";

export class SetUp {
  constructor(live) {
    this.live = live;
    this.box = el("div", {});
    this.readings = el("div", {});
    this.fault = el("p", {class: "fault", role: "alert"});
    this.listen = button("Listen to the bench", () => this.startListening(), {id: "listen"});
    this.node = el("div", {class: "page"}, el("h1", {}, "Set-up"), this.fault, this.box,
      el("h2", {}, "Live readings"),
      el("p", {}, "As the gauges give them, before zero and calibration. With the blower off, suck gently on one hose: the right channel must move, and the right way."),
      el("p", {}, this.listen), this.readings,
      el("h2", {}, "New plan"), planForm());
    live.on("whole", (whole) => this.show(whole));
    live.on("readings", (json) => this.showReadings(json));
  }

  show(whole) {
    const bench = whole.bench ?? {};
    const parts = [el("h2", {}, "Bench")];
    if (bench.stands === "ready") {
      parts.push(el("p", {}, `${bench.name}, described in ${bench.file}`),
        table(["Instrument", "Sheet"], bench.instruments.map((one) => [one.id, one.sheet]), "Instruments"));
    } else if (bench.stands === "missing") {
      parts.push(el("p", {}, `There is no ${bench.file} yet. Write one with a text editor (docs/bench-file.md says each member), or try things out first:`),
        el("p", {}, button("Use the simulated bench", () => this.post("/api/simulated-bench", {}), {class: "keep", id: "simulate"})));
    } else {
      parts.push(el("p", {class: "fault"}, bench.why ?? ""));
    }
    this.listen.disabled = bench.stands !== "ready" || whole.running;
    this.box.replaceChildren(...parts);
  }

  async startListening() {
    if (await this.post("/api/listen", {})) {
      this.readings.replaceChildren(el("p", {}, "Listening…"));
    }
  }

  async post(path, body) {
    say(this.fault, "");
    try {
      return await ask(path, body);
    } catch (error) {
      say(this.fault, error.message);
      return null;
    }
  }

  showReadings(json) {
    if (!this.node.isConnected) {
      return;
    }
    this.readings.replaceChildren(table(["Channel", "Reading", "Moved since listening began", "State"], json.channels.map((one) => [
      one.name,
      one.mean === null ? NONE : `${fixed(one.mean, 3)} ${one.unit}`,
      one.moved === null ? NONE : `${one.moved > 0 ? "+" : ""}${fixed(one.moved, 3)} ${one.unit}`,
      one.lost ? `▲ lost: ${one.lost}` : one.over_range ? "▲ over range: do not start the blower" : one.readings ? "● alive" : "… quiet",
    ])));
  }
}

/** Each field: [member path, label, example, needed]. */
const FIELDS = [
  ["part.head", "Head", "", true],
  ["part.chamber", "Chamber", ""],
  ["part.port", "Port", "", true],
  ["part.valve_job", "Valve job", ""],
  ["test_pressure", "Test pressure", "28 inH2O", true],
  ["set_up.valve_heads", "Heads of the opened valves, with commas", "1.94 in", true],
  ["set_up.plugged_holes", "Plugged holes", ""],
  ["ladder.lifts", "Lifts, with commas, in the unit of lift", "0.05, 0.1, 0.2, 0.3", true],
  ["ladder.return_rung", "Lift to take again at the end", ""],
];

const CHOICES = [
  ["port_kind", "Port kind", ["intake", "exhaust"]],
  ["direction", "Direction", ["suction", "blowing"]],
  ["units", "Units", ["inch", "metric"]],
  ["set_up.entry", "Entry", ["bare", "radius", "clay", "manifold"]],
  ["set_up.exit", "Exit", ["bare", "pipe"]],
  ["ladder.sweep", "Sweep", ["opening", "closing", "both"]],
];

function planForm() {
  const inputs = new Map();
  const row = (path, label, input) => {
    inputs.set(path, input);
    input.id = `plan-${path.replace(".", "-")}`;
    return el("div", {}, el("label", {for: input.id}, label), input);
  };
  const name = el("input", {required: true, pattern: "[A-Za-z0-9_][A-Za-z0-9._\\-]*\\.json", title: "a name that ends in .json"});
  const said = el("p", {role: "status"});
  const replace = el("input", {type: "checkbox", id: "plan-replace"});
  return el("form", {class: "card", id: "plan-form", onsubmit: async (event) => {
    event.preventDefault();
    said.classList.remove("fault");
    try {
      const done = await ask("/api/plan", {name: name.value, plan: planOf(inputs), replace: replace.checked});
      say(said, `${done.written} is written`);
    } catch (error) {
      said.classList.add("fault");
      say(said, error.message);
    }
  }},
  el("div", {class: "two"},
    CHOICES.map(([path, label, words]) => row(path, label, el("select", {}, words.map((word) => el("option", {}, word))))),
    FIELDS.map(([path, label, example, needed]) => row(path, label, el("input", {placeholder: example, required: Boolean(needed), autocomplete: "off"}))),
    row("name", "File name", name)),
  el("label", {class: "check"}, replace, "Replace a plan of this name"),
  said, el("button", {type: "submit", class: "keep"}, "Write the plan"));
}

/** The plan's JSON; what is left empty is left out. Numbers are read by the program, not here. */
function planOf(inputs) {
  const plan = {meniscus: "plan/1"};
  for (const [path, input] of inputs) {
    const text = input.value.trim();
    if (!text || path === "name") {
      continue;
    }
    const [outer, inner] = path.split(".");
    const value = path === "set_up.valve_heads" ? text.split(",").map((one) => one.trim())
      : path === "ladder.lifts" ? text.split(",").map(Number)
        : path === "ladder.return_rung" ? Number(text) : text;
    if (inner) {
      (plan[outer] ??= {})[inner] = value;
    } else {
      plan[outer] = value;
    }
  }
  const heads = plan.set_up?.valve_heads?.length ?? 0;
  if (heads > 1) {
    Object.assign(plan.set_up, {valves_opened: heads, valves_fitted: heads});
  }
  return plan;
}
