// The plan file without a text editor.

import {button, el, say} from "./build.js";
import {choice, choiceOf, labelled, textOf} from "./fields.js";
import {ask} from "./live.js";

const GROUPS = [
  ["The part", [["part.head", "Head", "", true], ["part.chamber", "Chamber"], ["part.port", "Port", "", true], ["part.valve_job", "Valve job"],
    ["part.customer_reference", "Customer's reference"]]],
  ["The test", [["test_pressure", "Test pressure", "28 inH2O", true], ["aim_band", "Aim band", "5 %"], ["target", "Average down to ±", "0.5 %"],
    ["longest", "A rung takes at most", "60 s"], ["tolerance", "Lift within ±", "0.002 in"]]],
  ["Around the head", [["set_up.valve_heads", "Heads of the opened valves, with commas", "1.94 in", true], ["set_up.plugged_holes", "Plugged holes", "spark plug"],
    ["set_up.indicator_touches", "The indicator touches", "valve stem tip"], ["set_up.adapter.diameter", "Bore adapter, diameter", "4 in"],
    ["set_up.adapter.length", "Its length", "4 in"], ["set_up.smallest_area", "Smallest section of the port", "1300 mm2"]]],
  ["Seat, for curtain and seat areas (all four, or none)", [["set_up.seat.width", "Seat width", "1.5 mm"], ["set_up.seat.angle", "Seat angle", "45 deg"],
    ["set_up.seat.throat", "Throat", "44 mm"], ["set_up.seat.stem", "Stem", "8 mm"]]],
  ["Spring, to see where suction moves the valve", [["set_up.spring.seat_load", "Seat load", "25 N"], ["set_up.spring.rate", "Rate", "4 N/mm"],
    ["set_up.spring.valve_mass", "Mass of the valve", "0.11 kg"], ["set_up.spring.indicator_force", "Force of the indicator", "0.8 N"]]],
];

const CHOICES = {
  "The test": [["port_kind", "Port kind", ["intake", "exhaust"]], ["direction", "Direction", ["suction", "blowing"]], ["units", "Units", ["inch", "metric"]],
    ["short_pressure", "Where the blower cannot reach the aim", [["keep", "keep, rescaled and marked"], ["skip", "leave the rung empty"], ["common", "all at the highest common pressure"]]]],
  "Around the head": [["set_up.entry", "Entry", ["bare", "radius", "clay", "manifold"]], ["set_up.exit", "Exit", ["bare", "pipe"]]],
};

/** Fields whose text becomes a list, and those that become numbers. */
const LISTS = ["set_up.valve_heads"];

/** A lift with a unit of its own stays text. */
const lift = (text) => Number.isNaN(Number(text)) ? text.trim() : Number(text);

/** So many earlier tests are offered; an older one's plan.json can be copied into the data folder. */
const OFFERED = 30;

export class PlanForm {
  constructor(write) {
    this.write = write;
    this.from = el("div", {});
    this.said = el("p", {role: "status", id: "plan-said"});
    this.node = el("form", {class: "card", id: "plan-form", onsubmit: (event) => this.submit(event)});
    this.draft = {meniscus: "plan/1"};
    this.changes = [];
    this.build();
  }

  build() {
    const id = (path) => `plan-${path.replaceAll(".", "-")}`;
    this.lifts = el("input", {id: "plan-ladder-lifts", placeholder: "0.05, 0.1, 0.15, 0.2", autocomplete: "off"});
    this.steps = ["from", "to", "step"].map((word) => el("input", {id: `plan-ladder-${word}`, size: 6, inputmode: "decimal", autocomplete: "off"}));
    this.again = el("input", {id: "plan-ladder-return_rung", size: 6, inputmode: "decimal", autocomplete: "off"});
    this.name = el("input", {id: "plan-name", required: true, pattern: "[A-Za-z0-9_][A-Za-z0-9._\\-]*\\.json", title: "a name that ends in .json", value: "plan.json"});
    this.replace = el("input", {type: "checkbox", id: "plan-replace"});
    this.notes = el("div", {});
    this.node.replaceChildren(
      ...GROUPS.map(([title, fields]) => el("fieldset", {}, el("legend", {}, title), el("div", {class: "fields"},
        (CHOICES[title] ?? []).map(([path, label, words]) => path === "units" && this.draft.units?.lift ? this.ownUnits(label, words, id(path))
          : choiceOf(this.draft, path, label, words, {id: id(path)})),
        fields.map(([path, label, placeholder, needed]) => textOf(this.draft, path, label, {placeholder, needed, id: id(path)}))))),
      el("fieldset", {}, el("legend", {}, "The ladder, in the unit of lift"), el("div", {class: "fields"},
        labelled("Lifts, with commas", this.lifts), ...["From", "to", "in steps of"].map((label, i) => labelled(label, this.steps[i])),
        choiceOf(this.draft, "ladder.sweep", "Sweep", ["opening", "closing", "both"]), labelled("Lift to take again at the end", this.again)),
      el("p", {class: "hint"}, "Either the lifts one by one, or from, to and step." +
        (this.draft.ladder?.rungs ? ` The plan it began with has ${this.draft.ladder.rungs.length} rungs of their own: left empty, they stay.` : ""))),
      el("fieldset", {}, el("legend", {}, "What was altered since the earlier test"), this.notes,
        button("Add a change note", () => {
          this.changes.push({what: ""});
          this.showChanges();
        })),
      el("div", {class: "fields"}, labelled("File name", this.name), el("label", {class: "check"}, this.replace, "Replace a plan of this name")),
      this.said, el("button", {type: "submit", class: "keep"}, "Write the plan"));
    this.showChanges();
  }

  /** Units that are neither all inch nor all metric stay as they are, until others are chosen. */
  ownUnits(label, words, id) {
    const {units} = this.draft;
    return choiceOf(this.draft, "units", label, [["", Object.values(units).join(", ")], ...words], {id, onchange: () => this.draft.units ??= units});
  }

  /** Which plans can be begun with: those of the data folder, and those of tests. */
  offered(plans, tests) {
    const earlier = [...plans.filter((plan) => !plan.why).map((plan) => [`plan?name=${encodeURIComponent(plan.name)}`, plan.name]),
      ...tests.filter((test) => test.stands === "finished").slice(0, OFFERED).map((test) => [`plan-of-test?name=${encodeURIComponent(test.name)}`, `the plan of ${test.name}`])];
    const list = choice([["", "an empty form"], ...earlier], "", {id: "plan-from", onchange: () => this.begin(list.value)});
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

  async submit(event) {
    event.preventDefault();
    this.said.classList.remove("fault");
    try {
      const done = await this.write({name: this.name.value, plan: this.plan(), replace: this.replace.checked});
      say(this.said, `${done.written} is written`);
    } catch (error) {
      this.said.classList.add("fault");
      say(this.said, error.message);
    }
  }
}
