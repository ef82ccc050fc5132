// The plan file without a text editor.

import {button, el, say, sent, taken} from "./build.js";
import {at, choice, choiceOf, labelled, textOf} from "./fields.js";
import {ask} from "./live.js";

/** What every plan needs: always open. The choices of a group come before its fields. */
const NEEDED = ["The test", [["part.head", "Head", "", true], ["part.port", "Port", "", true],
  ["set_up.valve_heads", "Heads of the opened valves, with commas", "1.94 in", true], ["test_pressure", "Test pressure", "28 inH2O", true]],
[["port_kind", "Port kind", ["intake", "exhaust"]], ["direction", "Direction", ["suction", "blowing"]], ["units", "Units", ["inch", "metric"]]]];

/** What has a usual value, or tells more: folded away, but where something is said. */
const FOLDED = [
  ["More about the part", [["part.chamber", "Chamber"], ["part.valve_job", "Valve job"], ["part.customer_reference", "Customer's reference"]], []],
  ["How near and how long", [["aim_band", "Aim band", "5 %"], ["target", "Average down to ±", "0.5 %"],
    ["longest", "A lift takes at most", "60 s"], ["tolerance", "Lift within ±", "0.002 in"]],
  [["short_pressure", "Where the blower cannot reach the aim", [["keep", "keep, rescaled and marked"], ["skip", "leave the lift empty"], ["common", "all at the highest common pressure"]]]]],
  ["Around the head", [["set_up.plugged_holes", "Plugged holes", "spark plug"],
    ["set_up.indicator_touches", "The indicator touches", "valve stem tip"], ["set_up.adapter.diameter", "Bore adapter, diameter", "4 in"],
    ["set_up.adapter.length", "Its length", "4 in"], ["set_up.smallest_area", "Smallest section of the port", "1300 mm2"]],
  [["set_up.entry", "Entry", ["bare", "radius", "clay", "manifold"]], ["set_up.exit", "Exit", ["bare", "pipe"]]]],
  ["Seat, for curtain and seat areas (all four, or none)", [["set_up.seat.width", "Seat width", "1.5 mm"], ["set_up.seat.angle", "Seat angle", "45 deg"],
    ["set_up.seat.throat", "Throat", "44 mm"], ["set_up.seat.stem", "Stem", "8 mm"]], []],
  ["Spring, to see where suction moves the valve", [["set_up.spring.seat_load", "Seat load", "25 N"], ["set_up.spring.rate", "Rate", "4 N/mm"],
    ["set_up.spring.valve_mass", "Mass of the valve", "0.11 kg"], ["set_up.spring.indicator_force", "Force of the indicator", "0.8 N"]], []],
];

/** Lifts that many use (common practice, no source): from, to, step, in the unit of lift. */
const USUAL_LIFTS = {in: [[0.05, 0.6, 0.05], [0.1, 0.7, 0.1]], mm: [[1, 12, 1], [2, 14, 2]]};

/** Fields whose text becomes a list, and those that become numbers. */
const LISTS = ["set_up.valve_heads"];

/** A lift with a unit of its own stays text. */
const lift = (text) => Number.isNaN(Number(text)) ? text.trim() : Number(text);

/** So many earlier tests are offered; an older one's plan.json can be copied into the data folder. */
const OFFERED = 30;

const idOf = (path) => `plan-${path.replaceAll(".", "-")}`;

export class PlanForm {
  constructor(write) {
    this.write = write;
    this.from = el("div", {});
    this.said = el("p", {role: "status", id: "plan-said"});
    this.node = el("form", {class: "card", id: "plan-form", onsubmit: sent(() => this.submit())});
    this.draft = {meniscus: "plan/1"};
    this.changes = [];
    this.names = new Set();
    this.build();
  }

  build() {
    this.lifts = el("input", {id: "plan-ladder-lifts", placeholder: "e.g. 0.05, 0.1, 0.15, 0.2", autocomplete: "off"});
    this.steps = ["from", "to", "step"].map((word) => el("input", {id: `plan-ladder-${word}`, size: 6, inputmode: "decimal", autocomplete: "off"}));
    this.again = el("input", {id: "plan-ladder-return_rung", size: 6, inputmode: "decimal", autocomplete: "off"});
    this.name = el("input", {id: "plan-name", required: true, pattern: "[A-Za-z0-9_][A-Za-z0-9._\\-]*\\.json", title: "a name that ends in .json", value: "plan.json", oninput: () => this.offerReplacing()});
    this.replace = el("input", {type: "checkbox", id: "plan-replace"});
    this.replacing = el("label", {class: "check"}, this.replace, "Replace the plan of this name");
    this.notes = el("div", {});
    this.usual = el("div", {});
    const [title, fields, choices] = NEEDED;
    this.node.replaceChildren(
      el("fieldset", {}, el("legend", {}, title), el("div", {class: "fields"}, this.fields(fields), this.choices(choices))),
      el("fieldset", {}, el("legend", {}, "The lifts to test, in the unit of lift"), el("div", {class: "fields"},
        this.usual, labelled("Lifts, with commas", this.lifts), ...["From", "to", "in steps of"].map((label, i) => labelled(label, this.steps[i])),
        choiceOf(this.draft, "ladder.sweep", "Sweep", ["opening", "closing", "both"]), labelled("Lift to take again at the end", this.again)),
      el("p", {class: "hint"}, "Either the lifts one by one, or from, to and step." +
        (this.draft.ladder?.rungs ? ` The plan it began with has ${this.draft.ladder.rungs.length} lifts set one by one: left empty, they stay.` : ""))),
      ...FOLDED.map(([what, more, chosen]) => el("details", {class: "fold", open: this.says(more, chosen)}, el("summary", {}, what),
        el("div", {class: "fields"}, this.choices(chosen), this.fields(more)))),
      el("fieldset", {}, el("legend", {}, "What was altered since the earlier test"), this.notes,
        button("Add a change note", () => {
          this.changes.push({what: ""});
          this.showChanges();
        })),
      el("div", {class: "fields"}, labelled("File name", this.name), this.replacing),
      this.said, el("button", {type: "submit", class: "keep"}, "Write the plan"));
    this.showChanges();
    this.showUsual();
    this.offerReplacing();
  }

  fields(fields) {
    return fields.map(([path, label, placeholder, needed]) => textOf(this.draft, path, label, {placeholder, needed, id: idOf(path)}));
  }

  choices(choices) {
    return choices.map(([path, label, words]) => path === "units" ? this.units(label, words, idOf(path)) : choiceOf(this.draft, path, label, words, {id: idOf(path)}));
  }

  /** Whether the plan says anything of these that is not the usual. */
  says(fields, choices) {
    return fields.some(([path]) => at(this.draft, path) !== undefined)
      || choices.some(([path, , [first]]) => at(this.draft, path) !== undefined && at(this.draft, path) !== [first].flat()[0]);
  }

  /** In the units that are chosen at the moment. */
  showUsual() {
    const {units} = this.draft;
    const unit = units?.lift ?? (units === "metric" ? "mm" : "in");
    const all = USUAL_LIFTS[unit] ?? [];
    const chosen = choice([["", "my own"], ...all.map(([from, to, step]) => [`${from} ${to} ${step}`, `${from} to ${to} ${unit}, every ${step}`])], "", {id: "plan-usual", onchange: () => {
      this.lifts.value = "";
      const parts = chosen.value.split(" ");
      this.steps.forEach((step, i) => step.value = parts[i] ?? "");
    }});
    this.usual.replaceChildren(labelled("Usual lifts", chosen));
  }

  /** Only a plan is written over. */
  offerReplacing() {
    this.replacing.hidden = !this.names.has(this.name.value);
    this.replace.checked &&= !this.replacing.hidden;
  }

  /** Units that are neither all inch nor all metric stay as they are, until others are chosen. */
  units(label, words, id) {
    const {units} = this.draft;
    return choiceOf(this.draft, "units", label, units?.lift ? [["", Object.values(units).join(", ")], ...words] : words, {id, onchange: () => {
      this.draft.units ??= units;
      this.showUsual();
    }});
  }

  /** Which plans can be begun with: those of the data folder, and those of tests. */
  offered(plans, tests) {
    this.names = new Set(plans.filter((plan) => !plan.why).map((plan) => plan.name));
    this.offerReplacing();
    const earlier = [...plans.filter((plan) => !plan.why).map((plan) => [`plan?name=${encodeURIComponent(plan.name)}`, plan.name]),
      ...tests.filter((test) => test.stands === "finished").slice(0, OFFERED).map((test) => [`plan-of-test?name=${encodeURIComponent(test.name)}`, `the plan of ${test.name}`])];
    const list = choice([["", "an empty form"], ...earlier], "", {id: "plan-from", onchange: () => taken(list, this.begin(list.value))});
    this.from.replaceChildren(labelled("Begin with", list, "All is taken over but the change notes: they belong to what was tested then."));
    this.from.hidden = !earlier.length;
    return this.from;
  }

  /** Fills the form in with an earlier plan; nothing asked for empties it. */
  async begin(which) {
    this.said.classList.remove("fault");
    try {
      const {changes, ...plan} = which ? await ask(`/api/${which}`) : {meniscus: "plan/1"};
      this.draft = plan;
      this.changes = [];
      for (const path of LISTS) {
        const [outer, inner] = path.split(".");
        if (plan[outer]?.[inner]) {
          plan[outer][inner] = plan[outer][inner].join(", ");
        }
      }
      const {lifts, from, to, step, return_rung: again} = plan.ladder ?? {};
      this.build();
      this.lifts.value = lifts?.join(", ") ?? "";
      [from, to, step].forEach((value, i) => this.steps[i].value = value ?? "");
      this.again.value = again ?? "";
      say(this.said, which ? "Filled in. Say which port it is now, or what was altered, and give the plan a name." : "");
      this.node.querySelector("#plan-part-port").select();
    } catch (error) {
      this.said.classList.add("fault");
      say(this.said, error.message);
    }
  }

  showChanges() {
    this.notes.replaceChildren(...this.changes.map((note) => el("div", {class: "fields"},
      textOf(note, "what", "What", {needed: true, placeholder: "opened the bowl"}), textOf(note, "where", "Where", {placeholder: "below the seat"}),
      textOf(note, "before", "Before", {placeholder: "24.0 mm"}), textOf(note, "after", "After", {placeholder: "24.5 mm"}))));
  }

  plan() {
    const plan = structuredClone(this.draft);
    for (const path of LISTS) {
      const [outer, inner] = path.split(".");
      plan[outer][inner] = String(plan[outer][inner] ?? "").split(",").map((one) => one.trim()).filter(Boolean);
    }
    const heads = plan.set_up.valve_heads.length;
    if (heads > 1) {
      Object.assign(plan.set_up, {valves_opened: heads, valves_fitted: heads});
    }
    plan.ladder = this.ladder(plan.ladder);
    if (this.changes.length) {
      plan.changes = this.changes;
    }
    return plan;
  }

  /** As the fields say; a ladder of single rungs, which they cannot show, stays until they are filled in. */
  ladder({sweep, rungs}) {
    const lifts = this.lifts.value.trim();
    const again = this.again.value.trim();
    if (rungs && !lifts && !this.steps.some((step) => step.value.trim())) {
      return {rungs};
    }
    return {
      ...lifts ? {lifts: lifts.split(",").map(lift)} : Object.fromEntries(["from", "to", "step"].map((word, i) => [word, lift(this.steps[i].value)])),
      sweep, ...again ? {return_rung: lift(again)} : {},
    };
  }

  async submit() {
    this.said.classList.remove("fault");
    try {
      const done = await this.write({name: this.name.value, plan: this.plan(), replace: this.replace.checked});
      this.names.add(done.written);
      this.offerReplacing();
      say(this.said, `${done.written} is written`);
    } catch (error) {
      this.said.classList.add("fault");
      say(this.said, error.message);
    }
  }
}
