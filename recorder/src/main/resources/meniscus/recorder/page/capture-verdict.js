// The one thing of Capture to be read from afar: how the air at this lift stands, and why.

import {el, say} from "./build.js";
import {fixed} from "./numbers.js";
import {shape} from "./parts.js";

/**
 * Word, shape and what to add.
 *
 * @param silentSeconds how long nothing has come from the program; 0 while it is heard
 * @param lost instruments, disk or journal in trouble
 * @param byEye whether a person reads one of the two pressures
 */
export function standing(state, {silentSeconds, lost, byEye}) {
  if (state.phase === "done") {
    return ["done", "done", "all rungs are done; the test folder is being written"];
  }
  if (silentSeconds > 0) {
    return ["no data", "faulty", `nothing from the program for ${Math.round(silentSeconds)} s`];
  }
  if (lost.length) {
    const disk = lost.every((one) => one.id === "disk" || one.id === "journal");
    return [disk ? "disk" : "lost", "faulty", lost.map((one) => one.why).join("; ")];
  }
  const wanted = (state.by_eye ?? []).filter((one) => one.wanted).map((one) => one.channel.replaceAll("_", " "));
  if (wanted.length && state.phase !== "averaging") {
    return ["type", "waiting", `set lift and test pressure, then read and type ${wanted.join(" and ")}`];
  }
  if (!state.pressure_fresh || !(state.flow_fresh || byEye)) {
    return ["no data", "faulty", "nothing new from the instruments"];
  }
  if (state.phase === "averaging") {
    const settling = state.verdict === "brief" && !(state.reasons ?? []).length;
    return [state.verdict, state.verdict, settling ? "settling" : (state.reasons ?? []).join("; ")];
  }
  if (state.phase === "blower off") {
    return ["blower off", "off", "bring the test pressure to its aim"];
  }
  return ["waiting", "waiting", "for lift and test pressure to come to rest at what is asked"];
}

export class VerdictBar {
  constructor() {
    this.shape = el("span", {class: "shapes"});
    this.word = el("span", {class: "word", id: "verdict"});
    this.seconds = el("span", {class: "seconds", id: "seconds"});
    this.reasons = el("p", {class: "reasons"});
    this.precision = el("span", {class: "clock"});
    this.stability = el("span", {class: "clock"});
    this.node = el("section", {class: "verdict", "aria-label": "Steadiness"},
      this.shape, this.word, this.seconds,
      el("div", {class: "why"}, el("p", {class: "clocks"}, this.precision, this.stability), this.reasons));
  }

  /** @param target the half-width that is asked, relative */
  show(state, [word, look, why], {target, byEye}) {
    say(this.word, word);
    if (this.node.dataset.look !== look) {
      this.node.dataset.look = look;
      this.shape.replaceChildren(shape(look));
    }
    const averaging = state.phase === "averaging" && look === state.verdict;
    say(this.seconds, averaging ? `${Math.floor(state.seconds ?? 0)}\u2009s` : "");
    this.showClocks(state, target, averaging && !byEye);
    say(this.reasons, why);
  }

  /** The two clocks of a rung: is the interval narrow enough, and was it watched long enough? */
  showClocks({flow, flow_u95: u, precise, decided}, target, shown) {
    this.precision.hidden = this.stability.hidden = !shown;
    say(this.precision, `${precise ? "✓" : "…"} ±${u > 0 && flow ? fixed(100 * u / Math.abs(flow), 2) : "?"} of ±${fixed(100 * target, 2)} % asked`);
    say(this.stability, decided ? "✓ watched long enough" : "… not watched long enough");
  }
}
