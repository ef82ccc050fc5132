// Set-up: which bench there is.

import {button, el, say, table} from "./build.js";
import {ask} from "./live.js";

export class SetUp {
  constructor(live) {
    this.live = live;
    this.box = el("div", {});
    this.fault = el("p", {class: "fault", role: "alert"});
    this.node = el("div", {class: "page"}, el("h1", {}, "Set-up"), this.fault, this.box);
    live.on("whole", (whole) => this.show(whole.bench ?? {}));
  }

  show(bench) {
    const parts = [el("h2", {}, "Bench")];
    if (bench.stands === "ready") {
      parts.push(el("p", {}, `${bench.name}, described in ${bench.file}`),
        table(["Instrument", "Sheet"], bench.instruments.map((one) => [one.id, one.sheet]), "Instruments"));
    } else if (bench.stands === "missing") {
      parts.push(el("p", {}, `There is no ${bench.file} yet. Write one with a text editor (docs/bench-file.md says each member), or try things out first:`),
        el("p", {}, button("Use the simulated bench", () => this.simulate(), {class: "keep", id: "simulate"})));
    } else {
      parts.push(el("p", {class: "fault"}, bench.why ?? ""));
    }
    this.box.replaceChildren(...parts);
  }

  async simulate() {
    try {
      await ask("/api/simulated-bench", {});
    } catch (error) {
      say(this.fault, error.message);
    }
  }
}
