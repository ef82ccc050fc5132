// Before a test: what is to be run, on which bench, into which folder.

import {button, el, say} from "./build.js";
import {labelled} from "./fields.js";
import {ask} from "./live.js";
import {count, fixed, placesOf} from "./numbers.js";

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
    this.gauges = el("p", {}, el("a", {href: "#set-up/readings"}, "Look at the gauges before the blower starts"), ": alive, none over range, at rest?");
    this.check = button("Check without air", () => this.look());
    this.checks = el("ul", {class: "checks", id: "checks", role: "status", hidden: true});
    this.go = el("button", {type: "submit", class: "keep", id: "start"}, "Start the test");
    this.form = el("form", {class: "card", onsubmit: (event) => this.submit(event)},
      el("h2", {}, "Take a lift test"),
      el("div", {class: "fields"}, labelled("Plan", this.plan), labelled("Name of the test", this.out)), this.about,
      el("label", {class: "check"}, this.handsFree, "Hands-free: rungs are kept by themselves once they are settled"),
      this.simulated, this.fault, this.checks, this.go, " ", this.check);
    this.node = el("div", {class: "page start"}, el("h1", {}, "Capture"), this.last, this.busy, this.bench, this.gauges, this.unfinished,
      this.caution = el("p", {class: "caution"}, "Before the blower starts: hearing and eye protection on, chips and rags away from the port, valve held by its checking spring, guards and cables in order. Your local codes and qualified practice come first."),
      this.form);
    live.on("whole", (whole) => this.take(whole));
  }

  take(whole) {
    if (whole.running) {
      return;
    }
    const busy = whole.over ? "The program has ended. What it wrote is safe in its folder." : whole.prepares ?? "";
    say(this.busy, busy);
    for (const node of [this.bench, this.gauges, this.caution, this.form]) {
      node.hidden = Boolean(busy);
    }
    const bench = whole.bench ?? {};
    const texts = {
      ready: `Bench: ${bench.name}`,
      missing: "There is no bench file yet: make one under Set-up.",
      refused: `The bench file is not accepted: ${bench.why}`,
    };
    say(this.bench, texts[bench.stands] ?? "");
    this.bench.classList.toggle("fault", bench.stands !== "ready");
    this.simulated.hidden = !bench.simulated;
    this.go.disabled = bench.stands !== "ready" || (whole.guest && !whole.in_charge);
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
      this.last.replaceChildren(
        el("h2", {}, last.failed ? `${last.name ?? "The test"} broke off` : `${last.name} is finished`),
        el("p", {}, last.failed ?? `${count(last.points, "point")} kept` +
          (last.open_rungs ? `, ${count(last.open_rungs, "rung")} not taken` : "") + (last.doubtful ? "; some should be looked at again" : "")),
        last.finished && !over ? el("p", {}, el("a", {href: `#test/${encodeURIComponent(last.name)}`}, "Look at it"), " · ",
          el("a", {href: `#set-up/plan/${encodeURIComponent(last.name)}`}, "Next port with the same plan")) : "");
    }
  }

  async fill() {
    const [plans, tests] = await Promise.all([ask("/api/plans"), ask("/api/tests")]).catch(() => [[], []]);
    this.plans = plans;
    const before = this.plan.value;
    this.plan.replaceChildren(...plans.map((plan) => el("option", {value: plan.name, disabled: Boolean(plan.why)},
      plan.why ? `${plan.name}: not accepted` : plan.name)));
    if (plans.some((plan) => plan.name === before)) {
      this.plan.value = before;
    }
    const taken = new Set(tests.map((test) => test.name));
    if (!this.out.value || taken.has(this.out.value)) {
      let number = 1;
      while (taken.has(`test-${number}`)) {
        number++;
      }
      this.out.value = `test-${number}`;
    }
    const left = tests.filter((test) => test.stands === "unfinished");
    this.unfinished.hidden = !left.length;
    this.unfinished.replaceChildren(el("h2", {}, "Unfinished"), ...left.map((test) => el("p", {},
      `${test.name} was interrupted; all that was kept is safe. `,
      button("Take it up again", () => this.start({out: test.name, resume: true, hands_free: this.handsFree.checked})))));
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
    say(this.about, !plan ? "No plan in the data folder: make one under Set-up."
      : plan.why ?? `${[plan.plan.head, plan.plan.port].filter(Boolean).join(", ")}: ${count(plan.plan.rungs, "rung")}, ` +
        `${plan.plan.port_kind}, ${plan.plan.direction}, ${fixed(plan.plan.test_pressure, placesOf(plan.units.pressure))} ${plan.units.pressure}`);
  }

  submit(event) {
    event.preventDefault();
    const body = {plan: this.plan.value, out: this.out.value, hands_free: this.handsFree.checked};
    if (!this.simulated.hidden) {
      Object.assign(body, {head: this.head.value, quick: this.quick.checked});
    }
    this.start(body);
  }

  async start(body) {
    say(this.fault, "");
    this.go.disabled = true;
    try {
      await this.live.startTest(body);
    } catch (error) {
      say(this.fault, error.message);
    } finally {
      this.go.disabled = false;
    }
  }
}
