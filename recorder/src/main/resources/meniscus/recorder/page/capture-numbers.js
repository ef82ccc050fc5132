// The large numbers of Capture: flow with its interval, the lift, and the test pressure in its band.

import {el, say} from "./build.js";
import {fixed, largePlaces, NONE, placesOf} from "./numbers.js";
import {PressureTrace} from "./pressure-trace.js";

/** Flow and lift, read from three metres. */
export class LargeNumbers {
  constructor() {
    this.flow = el("span", {class: "digits", id: "flow"}, NONE);
    this.interval = el("span", {class: "interval", id: "interval"});
    this.flowUnit = el("span", {class: "unit"});
    this.flowHint = el("span", {class: "hint"});
    this.lift = el("span", {class: "digits", id: "lift"}, NONE);
    this.liftHint = el("span", {class: "hint", id: "lift-read"});
    this.liftHead = el("h2", {}, "Next lift");
    this.node = el("section", {class: "numbers"},
      el("div", {class: "flow"}, el("h2", {}, "Flow, ", this.flowUnit, " ", this.flowHint), el("p", {}, this.flow, this.interval)),
      el("div", {class: "lift"}, this.liftHead, el("p", {}, this.lift), this.liftHint));
  }

  /**
   * @param dead whether nothing on screen is live
   * @param byEye whether a person reads one of the two pressures
   * @param rungs the ladder
   * @param begunAnew the rung that an interruption broke off
   */
  show(state, units, {dead, byEye, rungs, begunAnew}) {
    const averaged = state.flow !== undefined && state.flow !== null && state.phase === "averaging";
    const fresh = !dead && state.flow_fresh;
    const u = averaged ? state.flow_u95 : null;
    const places = u > 0 ? largePlaces(state.flow, u) : placesOf(units.flow);
    say(this.flowUnit, units.flow);
    say(this.flow, !fresh ? NONE : fixed(averaged ? state.flow : state.live, places));
    say(this.interval, fresh && u > 0 ? `±${fixed(u, places)}` : "");
    say(this.flowHint, !fresh ? "no live reading" : !averaged ? "live, not averaged" : byEye ? "from what was typed" : "average ± 95 % interval of its fluctuation");
    this.flow.classList.toggle("faint", fresh && !averaged);

    const rung = rungs.find((one) => one.rung === state.rung);
    say(this.lift, state.phase === "done" ? "done" : fixed(state.lift_asked, placesOf(units.lift)));
    say(this.liftHead, rung ? `Next lift, ${units.lift}: ${rung.rung} of ${rungs.length}, ${state.sweep.replace("_", " ")}${rung.returns ? ", again" : ""}${rung.rung === begunAnew ? ": begun anew, it was not kept before the interruption" : ""}` : "Next lift");
    say(this.liftHint, dead || !state.lift_fresh ? "no live lift" : `now at ${fixed(state.lift, placesOf(units.lift) + 1)} ${units.lift}`);
  }
}

/** The test pressure and where it lies in its aim band. */
export class PressureBand {
  constructor() {
    this.pressure = el("span", {class: "middle", id: "pressure"}, NONE);
    this.unit = el("span", {class: "unit"});
    this.needle = el("span", {class: "needle"});
    this.aim = el("span", {class: "hint"});
    const canvas = el("canvas", {role: "img", "aria-label": "Test pressure of the last 25 seconds in its band"});
    this.trace = new PressureTrace(canvas);
    this.node = el("div", {class: "pressure"}, el("h2", {}, "Test pressure"), el("p", {}, this.pressure, this.unit), canvas,
      el("div", {class: "band", "aria-hidden": "true"}, el("span", {class: "aim"}), this.needle), this.aim);
  }

  /** @param band how far the pressure may be from its aim, relative */
  show(state, units, {dead, band}) {
    const fresh = !dead && state.pressure_fresh;
    const off = (state.pressure - state.aim) / state.aim / band;
    const within = Math.abs(off) <= 1;
    say(this.unit, units.pressure);
    say(this.pressure, fresh ? fixed(state.pressure, placesOf(units.pressure)) : NONE);
    say(this.aim, `aim ${fixed(state.aim, placesOf(units.pressure))} ± ${fixed(100 * band, 0)} %: ` +
      (!fresh ? "silent" : within ? "within" : off < 0 ? "too low" : "too high"));
    this.needle.style.left = `${50 + 25 * Math.max(-2, Math.min(2, Number.isFinite(off) ? off : -2))}%`;
    this.trace.draw(state.aim, band);
    this.needle.hidden = !fresh;
    this.needle.classList.toggle("outside", !within);
  }
}
