// The curve of Capture as it grows, over an earlier run that the operator chooses.

import {el, say, taken} from "./build.js";
import {curve} from "./curve.js";
import {ask} from "./live.js";

/** Where the browser remembers which earlier run was chosen. */
const CHOSEN = "meniscus-earlier";

export class GrowingCurve {
  constructor() {
    this.earlier = null;
    this.rungs = [];
    this.units = el("span", {});
    this.box = el("div", {class: "curve"});
    this.over = el("select", {"aria-label": "Earlier run to draw under this one", onchange: () => taken(this.over, this.choose(this.over.value))});
    this.node = el("div", {class: "chart"}, el("h2", {}, this.units, this.over), this.box);
    new ResizeObserver(() => this.draw()).observe(this.box);
  }

  /** Offers the earlier runs that can be drawn under this test. */
  async begin(test) {
    this.test = test;
    const {units} = test;
    say(this.units, `Flow (${units.flow}) over lift (${units.lift}), over `);
    const tests = await ask("/api/tests").catch(() => []);
    const finished = tests.filter((one) => one.stands === "finished" && one.name !== test.name &&
      one.units.flow === units.flow && one.units.lift === units.lift);
    const kept = localStorage.getItem(CHOSEN) ?? finished[0]?.name ?? "";
    this.over.replaceChildren(el("option", {value: ""}, "no earlier run"),
      ...finished.map((one) => el("option", {value: one.name}, one.name)));
    this.over.value = finished.some((one) => one.name === kept) ? kept : finished[0]?.name ?? "";
    await this.showEarlier(this.over.value);
  }

  choose(name) {
    localStorage.setItem(CHOSEN, name);
    this.over.blur();
    return this.showEarlier(name);
  }

  async showEarlier(name) {
    this.earlier = name ? await ask(`/api/test?name=${encodeURIComponent(name)}`).catch(() => null) : null;
    this.draw();
  }

  show(rungs, next) {
    this.rungs = rungs;
    this.next = next;
    this.draw();
  }

  draw() {
    const width = this.box.clientWidth;
    const height = this.box.clientHeight;
    if (!this.test || width < 60 || height < 40) {
      return;
    }
    const main = this.rungs.filter((rung) => !rung.own_pressure && !rung.returns);
    const runs = [];
    if (this.earlier) {
      runs.push({name: this.earlier.name, kind: "earlier", points: this.earlier.curve.filter((p) => p.on_curve)});
    }
    runs.push({name: "this run", kind: "now", points: main.map((rung) => rung.point)});
    this.box.replaceChildren(curve(runs, {
      width, height, units: this.test.units, size: Math.max(13, Math.min(20, width / 38)),
      lifts: this.rungs.map((rung) => rung.lift),
      next: this.rungs.find((rung) => rung.rung === this.next)?.lift,
    }));
  }
}
