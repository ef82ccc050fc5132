// The one thing of Capture to be read from afar: how the air at this lift stands, and why.

import {el, say} from "./build.js";
import {waitsFor} from "./capture-asks.js";
import {fixed} from "./numbers.js";
import {shape} from "./parts.js";

/**
 * Word, shape and what to add.
 *
 * @param silentSeconds how long nothing has come from the program; 0 while it is heard
 * @param lost instruments, disk or journal in trouble
 * @param byEye whether a person reads one of the two pressures
 * @param rungs the ladder
 */
export function standing(state, {silentSeconds, lost, byEye, rungs}) {
  if (state.phase === "done") {
    const open = rungs.filter((rung) => rung.stands === "open").length;
    return waitsFor(state.questions ?? []) ?? (open
      ? ["ended", "waiting", `ended with ${rungs.length - open} of ${rungs.length} lifts; the test folder is being written`]
      : ["done", "done", "all lifts are done; the test folder is being written"]);
  }
  if (silentSeconds > 0) {
    return ["no data", "faulty", `nothing from the program for ${Math.round(silentSeconds)} s. Kept points are safe. If it has stopped, start it again: this page comes back by itself`];
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
    return ["no data", "faulty", "nothing new from the instruments: are they on, are their cables in? Averaging begins again by itself; kept points are safe"];
  }
  if (state.phase === "averaging") {
    const reasons = (state.reasons ?? []).join("; ");
    return state.verdict === "brief" ? [countdown(state), "brief", reasons || "settling"] : [state.verdict, state.verdict, reasons];
  }
  if (state.phase === "blower off") {
    return ["blower off", "off", "bring the test pressure to its aim"];
  }
  return ["waiting", "waiting", "for lift and test pressure to come to rest at what is asked"];
}

/** Too little data is a matter of waiting, and of how long. */
function countdown({wait_s: wait}) {
  return wait > 0 ? `wait ${Math.ceil(wait)}\u2009s` : "wait";
}

export class VerdictBar {
  constructor() {
    this.shape = el("span", {class: "shapes"});
    this.word = el("span", {class: "word", id: "verdict"});
    this.seconds = el("span", {class: "seconds", id: "seconds"});
    this.reasons = el("p", {class: "reasons"});
    this.filled = el("span", {class: "filled"});
    this.enough = el("span", {class: "enough", id: "enough", role: "progressbar", "aria-label": "Good enough", "aria-valuemin": 0, "aria-valuemax": 100}, this.filled);
    this.left = el("span", {class: "left"});
    this.node = el("section", {class: "verdict", "aria-label": "Steadiness"},
      this.shape, this.word, this.seconds,
      el("div", {class: "why"}, this.clocks = el("p", {class: "clocks"}, this.enough, this.left), this.reasons));
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
    this.showClock(state, target, averaging && !byEye);
    say(this.reasons, why);
  }

  /** Narrow enough and watched long enough: one bar that fills until both are there. */
  showClock({flow, flow_u95: u, precise, decided, seconds, wait_s: wait}, target, shown) {
    this.clocks.hidden = !shown;
    const good = precise && decided;
    const share = good ? 1 : Math.min(0.99, seconds > 0 && wait > 0 ? seconds / (seconds + wait) : 0);
    this.filled.style.width = `${100 * share}%`;
    this.enough.setAttribute("aria-valuenow", String(Math.round(100 * share)));
    const width = u > 0 && flow ? `±${fixed(100 * u / Math.abs(flow), 2)} of ±${fixed(100 * target, 2)} %` : "";
    say(this.left, good ? `✓ good enough, ${width}` : `good in ${wait > 0 ? `about ${Math.ceil(wait)}\u2009s` : "a moment"}${width && `, ${width}`}`);
  }
}
