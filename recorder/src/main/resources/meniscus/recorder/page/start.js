// Before a test: what is to be run, on which bench, into which folder.

import {button, el, say, sent} from "./build.js";
import {labelled} from "./fields.js";
import {ask} from "./live.js";
import {MovedBench} from "./moved-bench.js";
import {count, fixed, placesOf} from "./numbers.js";

function plansAndUnfinished() {
  return Promise.all([ask("/api/plans"), ask("/api/test-list?show=unfinished")]);
}

/** Asked for when this file is read, beside the state; used once. */
let early = plansAndUnfinished();
early.catch(() => {});

export class Start {
  constructor(live) {
    this.live = live;
    this.plan = el("select", {id: "plan", required: true, onchange: () => this.describe()});
    this.about = el("p", {class: "hint"});
    this.out = el("input", {id: "out", required: true, maxlength: 100, pattern: "[A-Za-z0-9_][A-Za-z0-9._\\-]*", autocomplete: "off",
      title: "letters, digits, dots, hyphens and underscores"});
    this.handsFree = el("input", {id: "hands-free", type: "checkbox", checked: true});
    this.head = el("select", {id: "head"}, el("option", {value: "received"}, "as received"), el("option", {value: "changed"}, "bowl blended"));
    this.quick = el("input", {id: "quick", type: "checkbox"});
    this.simulated = el("fieldset", {hidden: true}, el("legend", {}, "Simulated bench"),
      el("div", {class: "fields"}, labelled("Head on the bench", this.head)),
      el("label", {class: "check"}, this.quick, "Simulated time: as fast as it can be worked out"));
    this.fault = el("p", {class: "fault", role: "alert"});
    this.last = el("section", {class: "last", hidden: true});
    this.unfinished = el("section", {hidden: true});
    this.busy = el("p", {class: "doing", id: "prepares", role: "status"});
    this.bench = el("p", {class: "bench"});
    this.outlets = el("p", {class: "hint", id: "outlets", role: "status"});
    this.first = this.buildFirst();
    this.moved = new MovedBench(live);
    this.gauges = el("p", {}, el("a", {href: "#set-up/readings"}, "Look at the gauges before the blower starts"), ": alive, none over range, at rest?");
    this.check = button("Check without air", () => this.look());
    this.checks = el("ul", {class: "checks", id: "checks", role: "status", hidden: true});
    this.noPlan = el("p", {class: "no-plan", hidden: true}, "What is to be tested, at which lifts? ", el("a", {href: "#set-up/plan"}, "Make a plan"));
    this.firstFault = el("p", {class: "fault", role: "alert"});
    this.first.append(this.firstFault);
    this.go = el("button", {type: "submit", class: "keep", id: "start", disabled: true}, "Start the test");
    this.form = el("form", {class: "card", onsubmit: sent(() => this.submit())},
      el("h2", {}, "Take a lift test"),
      el("div", {class: "fields"}, labelled("Plan", this.plan), labelled("Name of the test", this.out)), this.about,
      el("label", {class: "check"}, this.handsFree, "Hands-free: each lift is kept by itself once it is settled"),
      this.simulated, this.fault, this.opening = el("p", {role: "status", id: "opening"}), this.checks, this.go, " ", this.check);
    this.node = el("div", {class: "page start"}, el("h1", {}, "Capture"), this.last, this.busy, this.first, this.bench, this.outlets, this.moved.node, this.gauges, this.unfinished,
      this.caution = el("p", {class: "caution"}, "Before the blower starts: hearing and eye protection on, chips and rags away from the port, valve held by its checking spring, guards and cables in order. Your local codes and qualified practice come first."),
      this.noPlan, this.form);
    live.on("whole", (whole) => this.take(whole));
    live.on("outlets", (outlets) => this.showOutlets(outlets));
  }

  /** Nothing, while facts go where they are to go. */
  showOutlets(outlets = []) {
    say(this.outlets, outlets.map((one) => one.notice).filter(Boolean).join(" · "));
  }

  /** What an empty folder opens on. */
  buildFirst() {
    return el("div", {class: "first", hidden: true},
      el("section", {class: "card"}, el("h2", {}, "Try it now"),
        el("p", {}, "A whole job on the simulated bench in 3 minutes: zero, leakage, plates, a head as received, the same head with its bowl blended, and what that changed. You watch, and each step is explained."),
        el("p", {class: "hint"}, "Nothing need be plugged in. It is written into a folder of its own."),
        button("Try it now", () => this.tryOut(), {class: "keep", id: "try-it"})),
      el("section", {class: "card"}, el("h2", {}, "Set up my bench"),
        el("p", {}, "Plug your instruments in, blower off. What is plugged in is listened to first; the bench file begins with the instruments that are recognised."),
        el("p", {class: "hint"}, "Opening a serial port restarts some microcontroller boards."),
        el("a", {class: "keep", href: "#set-up/bench", id: "set-up-mine"}, "Set up my bench")));
  }

  async tryOut() {
    say(this.firstFault, "");
    try {
      await ask("/api/try-out", {do: "start", quick: false, client: this.live.client});
    } catch (error) {
      say(this.firstFault, error.message);
    }
  }

  take(whole) {
    if (whole.running) {
      return;
    }
    const busy = whole.over ? "The program has ended. What it wrote is safe in its folder." : whole.prepares ?? "";
    say(this.busy, busy);
    const bench = whole.bench ?? {};
    this.first.hidden = Boolean(busy) || bench.stands !== "missing" || Boolean(whole.guest);
    this.showOutlets(whole.outlets);
    this.moved.show();
    this.moved.node.hidden = Boolean(busy);
    for (const node of [this.gauges, this.caution, this.form]) {
      node.hidden = Boolean(busy) || bench.stands !== "ready" || this.moved.open;
    }
    this.bench.hidden = Boolean(busy) || bench.stands === "missing" && !whole.guest;
    this.bench.replaceChildren(...{
      ready: [`Bench: ${bench.name}`],
      missing: ["There is no bench yet: somebody at the bench sets it up."],
      refused: ["The bench file is not accepted: ", bench.why, " ", el("a", {href: "#set-up/bench"}, "Look at it")],
    }[bench.stands] ?? []);
    this.bench.classList.toggle("fault", bench.stands === "refused");
    this.simulated.hidden = !bench.simulated;
    this.mayStart = !whole.guest || whole.in_charge;
    this.showLast(whole);
    if (busy) {
      this.unfinished.hidden = true;
    } else {
      this.fill();
    }
  }

  showLast({last, over}) {
    this.last.hidden = !last;
    if (last) {
      this.last.classList.toggle("early", Boolean(last.failed || last.open_rungs));
      this.last.replaceChildren(
        el("h2", {}, last.failed ? `${last.name ?? "The test"} broke off` : last.open_rungs
          ? `${last.name} ended with ${last.points} of ${last.rungs} lifts` : `${last.name} is finished`),
        el("p", {}, last.failed ?? `${count(last.points, "point")} kept` +
          (last.open_rungs ? `, ${count(last.open_rungs, "lift")} not taken` : "") + (last.doubtful && !last.open_rungs ? "; some should be looked at again" : "")),
        last.finished && !over ? el("p", {}, el("a", {href: `#test/${encodeURIComponent(last.name)}`}, "Look at it"), " · ",
          el("a", {href: `#set-up/plan/${encodeURIComponent(last.name)}`}, "Next port with the same plan")) : "");
    }
  }

  async fill() {
    const asked = early ?? plansAndUnfinished();
    early = null;
    const [plans, unfinished] = await asked.catch(() => [[], {tests: [], next_name: "test-1"}]);
    this.plans = plans;
    const before = this.plan.value;
    this.plan.replaceChildren(...plans.map((plan) => el("option", {value: plan.name, disabled: Boolean(plan.why)},
      plan.why ? `${plan.name}: not accepted` : plan.name)));
    if (plans.some((plan) => plan.name === before)) {
      this.plan.value = before;
    }
    if (["", this.offered, this.live.whole.last?.name].includes(this.out.value)) {
      this.out.value = this.offered = unfinished.next_name;
    }
    this.unfinished.hidden = !unfinished.tests.length;
    this.unfinished.replaceChildren(el("h2", {}, "Unfinished"), ...unfinished.tests.map((test) => el("p", {},
      `${test.name} was interrupted; all that was kept is safe. `,
      button("Take it up again", () => this.start({out: test.name, resume: true, hands_free: this.handsFree.checked})))));
    const none = !plans.length;
    this.form.hidden ||= none;
    this.noPlan.hidden = !none || this.bench.hidden || this.live.whole.bench?.stands !== "ready" || this.moved.open;
    this.describe();
    performance.mark("usable");
  }

  async look() {
    say(this.fault, "");
    this.check.disabled = true;
    this.checks.hidden = false;
    this.checks.replaceChildren(el("li", {}, "Listening to every gauge …"));
    try {
      const {checks} = await this.live.check(this.plan.value);
      this.checks.replaceChildren(...checks.map((one) => el("li", {class: one.state},
        one.state === "good" ? "" : el("strong", {}, `${one.state}: `), `${one.area}: ${one.text}`)));
    } catch (error) {
      this.checks.hidden = true;
      say(this.fault, error.message);
    } finally {
      this.check.disabled = false;
    }
  }

  describe() {
    this.checks.hidden = true;
    const plan = this.plans?.find((one) => one.name === this.plan.value);
    this.go.disabled = !plan || Boolean(plan.why) || !this.mayStart;
    say(this.about, !plan ? ""
      : plan.why ?? `${[plan.plan.head, plan.plan.port].filter(Boolean).join(", ")}: ${count(plan.plan.rungs, "lift")}, ` +
        `${plan.plan.port_kind}, ${plan.plan.direction}, ${fixed(plan.plan.test_pressure, placesOf(plan.units.pressure))} ${plan.units.pressure}`);
  }

  submit() {
    const body = {plan: this.plan.value, out: this.out.value, hands_free: this.handsFree.checked};
    if (!this.simulated.hidden) {
      Object.assign(body, {head: this.head.value, quick: this.quick.checked});
    }
    return this.start(body);
  }

  async start(body) {
    say(this.fault, "");
    this.go.disabled = true;
    say(this.opening, `The instruments are opened, and each must be heard once: ${(this.live.whole.bench?.instruments ?? []).map((one) => one.id).join(", ")}.`);
    try {
      await this.live.startTest(body);
    } catch (error) {
      say(this.fault, error.message);
    } finally {
      this.go.disabled = false;
      say(this.opening, "");
    }
  }
}
