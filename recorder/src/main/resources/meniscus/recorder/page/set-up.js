// Set-up: from a bench with gauges to numbers that can be trusted, one step after the other.

import {button, el, say} from "./build.js";
import {BenchForm} from "./bench-form.js";
import {FirstHearing} from "./first-hearing.js";
import {healthCharts} from "./health.js";
import {ask} from "./live.js";
import {MovedBench} from "./moved-bench.js";
import {PlanForm} from "./plan-form.js";
import {PlatesForm} from "./plates.js";
import {Readings} from "./readings.js";
import {term} from "./terms.js";
import {UnderWay} from "./upkeep.js";
import {calibrationForm, calmForm, checkForm, gaugesForm, leakageForm, repeatForm, zeroForm} from "./upkeep-forms.js";

/** Steps in the order that saves work: [name, title]. */
const STEPS = [
  ["bench", "Bench"], ["readings", "Readings"], ["zero", "Zero"], ["gauges", "Both gauges"], ["leakage", "Leakage"], ["plates", "Plates"],
  ["calibration", "Calibration"], ["calm", "Calm record"], ["health", "Bench health"], ["plan", "Plan"], ["repeat", "Repeatability"],
];

const SIGNS = {done: ["✓", "done"], look: ["▲", "look at it"], open: ["○", "to do"]};

/** The upkeep tasks that belong to a step. */
const TASKS = {zero: "zero", gauges: "gauges", leakage: "leakage", calibration: "calibrate", calm: "calm", health: "check", repeat: "repeat"};

export class SetUp {
  constructor(live) {
    this.live = live;
    this.detail = {};
    this.plans = [];
    this.tests = [];
    this.step = "bench";
    const post = (path, body) => ask(path, {...body, client: live.client});
    this.post = post;
    this.list = el("nav", {class: "set-up-steps", "aria-label": "Steps of the set-up"});
    this.box = el("section", {class: "set-up-step"});
    this.fault = el("p", {class: "fault", role: "alert"});
    this.benchForm = new BenchForm((bench, epoch) => post("/api/bench", {bench, epoch}));
    this.moved = new MovedBench(live);
    this.hearing = new FirstHearing(live, (bench) => this.benchForm.begin(bench, this.found));
    this.platesForm = new PlatesForm((plates) => post("/api/plates", {plates}));
    this.planForm = new PlanForm((body) => post("/api/plan", body));
    this.readings = new Readings({
      listen: () => this.tried(() => post("/api/listen", {})),
      blower: (on) => this.tried(() => post("/api/listen", {blower: on})),
    });
    this.underWay = new UnderWay((body) => this.tried(() => post("/api/upkeep", body)),
      (text) => post("/api/upkeep", {do: "read", text}).then(() => null, (error) => error.message));
    this.node = el("div", {class: "page set-up"}, el("h1", {}, "Set-up"), el("div", {class: "set-up-grid"}, this.list, el("div", {}, this.fault, this.box)));
    live.on("whole", () => this.refresh());
    live.on("upkeep", (json) => this.tended(json));
    live.on("upkeep_live", (json) => this.underWay.reading(json));
    live.on("readings", (json) => {
      if (this.step === "readings" && this.node.isConnected) {
        this.readings.show(json);
        this.showList();
      }
    });
  }

  /** @param rest the part after #set-up/: a step, for the plan also a test whose plan to begin with */
  open(rest) {
    const [step, earlier] = (rest ?? "").split(/\/(.*)/s);
    this.step = STEPS.some(([name]) => name === step) ? step : "bench";
    for (const node of [this.fault, this.benchForm.said, this.platesForm.said]) {
      say(node, "");
    }
    this.showList();
    this.showStep();
    // Once the page stands in the document.
    setTimeout(() => this.refresh());
    if (this.step === "plan" && earlier) {
      this.planForm.begin(`plan-of-test?name=${earlier}`);
    }
    return this.node;
  }

  async tried(act) {
    say(this.fault, "");
    try {
      return await act();
    } catch (error) {
      say(this.fault, error.message);
      return null;
    }
  }

  /** Asks for all anew, when this page is looked at. */
  async refresh() {
    if (!this.node.isConnected) {
      return;
    }
    const wanted = [ask("/api/bench"), ask("/api/plans"), ask("/api/found"), this.step === "plan" ? ask("/api/tests") : []];
    const [detail, plans, found, tests] = await Promise.all(wanted.map((each) => Promise.resolve(each).catch((error) => ({why: error.message}))));
    [this.detail, this.plans, this.found] = [detail, Array.isArray(plans) ? plans : [], found];
    this.tests = Array.isArray(tests) ? tests : [];
    this.tended(this.live.whole.upkeep ?? {});
    this.showList();
    // What is being filled in stays as it is, unless what it shows has changed.
    if (this.shown !== this.shows()) {
      this.showStep();
    }
  }

  /** All that the open step shows, as one text. */
  shows() {
    const {detail, found, plans, step} = this;
    const {stands, simulated, why, name, elsewhere} = this.live.whole.bench ?? {};
    const {bench, plates, zeros, leakages, ranges, calibrations, calm, health, tasks, epoch} = detail;
    const parts = {bench: [bench, found], readings: [], zero: [zeros], leakage: [leakages, ranges], plates: [plates],
      calibration: [calibrations, ranges, plates], calm: [calm, ranges, plates], repeat: [detail.repeatability, detail.repeatability_from, plans], health: [health, tasks, epoch, ranges, plates, calibrations], plan: [plans, this.tests.map((test) => test.name)]};
    return JSON.stringify([step, stands, simulated, why, name, elsewhere, parts[step]]);
  }

  tended(json) {
    const {node} = this.underWay;
    this.underWay.show(json);
    if (TASKS[this.step] !== json.task && !json.running) {
      node.remove();
    } else if (!this.box.contains(node)) {
      this.box.querySelector(".titled")?.after(node);
    }
    // While something goes on at the bench nothing else can be begun.
    this.box.classList.toggle("busy", Boolean(json.running));
  }

  stands() {
    const bench = this.live.whole.bench ?? {};
    const {detail} = this;
    const ready = bench.stands === "ready";
    const health = detail.health ?? [];
    const of = (good, look = false) => look ? "look" : good ? "done" : "open";
    return {
      bench: of(ready, bench.stands === "refused" || this.moved.open),
      readings: of(this.readings.alive ?? detail.all_heard, this.readings.overRange),
      zero: of(detail.zeros?.length),
      gauges: of(detail.gauges_compared || detail.calm_can_be_taken === false),
      leakage: of(detail.leakages?.length),
      plates: of(detail.plates?.length),
      calibration: of(detail.calibrations?.length),
      calm: of(detail.calm || detail.calm_can_be_taken === false),
      repeat: of(detail.repeatability),
      health: of(health.length && !detail.tasks?.length, health.some((chart) => !chart.healthy)),
      plan: of(this.plans.some((plan) => !plan.why)),
    };
  }

  showList() {
    const stands = this.stands();
    this.list.replaceChildren(...STEPS.map(([name, title], i) => {
      const [sign, word] = SIGNS[stands[name]];
      return el("a", {href: `#set-up/${name}`, "aria-current": name === this.step ? "step" : null, class: stands[name]},
        el("span", {class: "sign", "aria-hidden": "true"}, sign), `${i + 1} ${title}`, el("span", {class: "unseen"}, `, ${word}`));
    }));
  }

  showStep() {
    const bench = this.live.whole.bench ?? {};
    const [, title] = STEPS.find(([name]) => name === this.step);
    const simulated = Boolean(bench.simulated);
    const send = (body) => this.tried(() => this.post("/api/upkeep", body));
    const needsBench = !["bench", "plates", "plan"].includes(this.step) && bench.stands !== "ready";
    this.shown = this.shows();
    this.moved.show();
    const content = TASKS[this.step] && this.moved.open ? [this.moved.node] : needsBench ? [el("p", {}, "First comes ", el("a", {href: "#set-up/bench"}, "what the bench is made of"), ".")] : {
      bench: () => this.bench(bench),
      readings: () => {
        this.readings.blower.hidden = !simulated;
        return [this.readings.node];
      },
      zero: () => zeroForm(this.detail, simulated, send),
      gauges: () => gaugesForm(this.detail, simulated, send),
      leakage: () => leakageForm(this.detail, simulated, send),
      plates: () => {
        this.platesForm.load(this.detail.plates);
        return [this.platesForm.node];
      },
      calibration: () => calibrationForm(this.detail, simulated, send),
      calm: () => calmForm(this.detail, simulated, send),
      repeat: () => repeatForm(this.detail, this.plans, simulated, send),
      health: () => [checkForm(this.detail, simulated, send), ...healthCharts(this.detail, () => send({do: "level"}))],
      plan: () => [el("p", {}, this.plans.length ? `There are: ${this.plans.map((plan) => plan.name + (plan.why ? " (not accepted)" : "")).join(", ")}` : "There is no plan yet."), this.planForm.offered(this.plans, this.tests), this.planForm.node],
    }[this.step]();
    this.box.replaceChildren(el("div", {class: "titled"}, el("h2", {}, title), term(this.step)), ...content);
    this.tended(this.live.whole.upkeep ?? {});
  }

  bench(bench) {
    const parts = [];
    if (bench.stands === "missing") {
      parts.push(this.hearing.node,
        el("p", {}, `What you write below becomes ${bench.file}. Without a bench at hand: `, button("Use the simulated bench", () => this.tried(() => this.post("/api/simulated-bench", {})), {id: "simulate"})));
    } else if (bench.stands === "refused") {
      parts.push(el("p", {class: "fault"}, `The file is not accepted: ${bench.why}`), el("p", {}, "Correct it with a text editor, or put it aside and describe the bench here."));
      return parts;
    } else {
      parts.push(this.moved.node, el("p", {}, `${bench.name}, described in ${bench.file}${bench.simulated ? "; it exists only as equations" : ""}.`));
    }
    if (this.found?.sheets && !this.moved.open) {
      this.benchForm.load(this.detail.bench ?? null, this.found);
      parts.push(this.benchForm.node);
      if (bench.stands === "missing") {
        this.hearing.once(this.found.lines);
      }
    }
    return parts;
  }
}
