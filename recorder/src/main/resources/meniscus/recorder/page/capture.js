// The capture page: what the operator reads from three metres, and the few things he can ask for.
// Each part of the screen is a file of its own; this one hands them what comes in.

import {Awake} from "./awake.js";
import {el, say} from "./build.js";
import {Asks} from "./capture-asks.js";
import {GrowingCurve} from "./capture-curve.js";
import {Ladder} from "./capture-ladder.js";
import {LargeNumbers, PressureBand} from "./capture-numbers.js";
import {Orders} from "./capture-orders.js";
import {standing, VerdictBar} from "./capture-verdict.js";
import {listenKeys} from "./keys.js";
import {fixed, placesOf, withInterval} from "./numbers.js";
import {Said} from "./said.js";
import {Typing} from "./typing.js";
import {Trace} from "./trace.js";

/** Digits change this often at most: faster ones cannot be read [ms]. */
const DIGITS_MS = 200;

/** Without a word from the program for this long, nothing on screen is live [ms]. */
const STALE_MS = 1000;

export class Capture {
  /**
   * @param live the line to the program
   * @param cues sound and flash
   */
  constructor(live, cues) {
    this.live = live;
    this.cues = cues;
    this.state = null;
    this.test = null;
    this.rungs = [];
    this.lost = [];
    this.digitsAt = 0;
    this.word = "";
    this.node = this.build();
    listenKeys(this.orders.press, this.orders.keep, () => this.node.isConnected && this.mayCommand());

    live.on("whole", (whole) => this.takeWhole(whole));
    live.on("state", (state) => this.takeState(state));
    live.on("ladder", (ladder) => this.takeLadder(ladder));
    live.on("kept", (point) => this.kept(point));
    live.on("told", (told) => this.told(told));
    live.on("instruments", (json) => {
      this.lost = json.lost;
      this.showVerdict();
    });
    live.on("link", () => this.showVerdict());
    setInterval(() => this.watch(), 250);
    this.takeWhole(live.whole);
  }

  build() {
    this.numbers = new LargeNumbers();
    this.verdict = new VerdictBar();
    this.pressure = new PressureBand();
    this.ladder = new Ladder();
    this.orders = new Orders((body) => this.command(body), () => this.keep());
    this.traceUnits = el("h2", {});
    this.canvas = el("canvas", {role: "img", "aria-label": "Live flow of the last 25 seconds"});
    this.trace = new Trace(this.canvas);
    this.curve = new GrowingCurve();
    this.asks = new Asks((body) => this.command(body));
    this.typing = new Typing((readings) => this.type(readings), () => this.typed());
    this.said = new Said();
    this.awake = new Awake((text) => this.said.add({kind: "lost", text}));
    return el("div", {class: "capture"},
      el("h1", {class: "unseen"}, "Capture"),
      this.numbers.node,
      this.verdict.node,
      el("section", {class: "steps"}, this.pressure.node, this.ladder.node, this.orders.node),
      el("section", {class: "charts"}, el("div", {class: "chart"}, this.traceUnits, this.canvas), this.curve.node, this.said.node),
      this.asks.node,
      this.typing.node);
  }

  // ------------------------------------------------------------------ what comes in

  takeWhole(whole) {
    this.test = whole.test ?? null;
    this.orders.showCharge(whole);
    this.awake.want(Boolean(this.test));
    if (!this.test) {
      this.state = null;
      this.lost = [];
      return;
    }
    const {units} = this.test;
    this.lost = this.test.instruments.lost;
    say(this.traceUnits, `Live flow, ${units.flow}`);
    this.trace.load(this.test.trace, units.flow);
    this.takeLadder(this.test.ladder);
    this.takeState(this.test.live, true);
    this.pressure.trace.load(this.test.trace);
    const last = this.test.told.at(-1)?.text ?? "";
    if (last !== this.lastTold) { // else what this page was answered meanwhile would be wiped out
      this.lastTold = last;
      this.said.load(this.test.told);
    }
    this.curve.begin(this.test);
  }

  takeState(state, always = false) {
    this.state = state;
    this.trace.add(state);
    this.pressure.trace.add(state.at, state.pressure_fresh ? state.pressure : NaN);
    if (state.rung !== this.rung) { // digits, ladder and chart show one and the same lift
      this.rung = state.rung;
      this.showRungs();
    }
    const now = performance.now();
    const word = this.standing()[0];
    if (always || now - this.digitsAt >= DIGITS_MS || word !== this.word) {
      this.digitsAt = now;
      this.word = word;
      this.show();
    }
  }

  takeLadder(ladder) {
    this.rungs = ladder.rungs ?? [];
    this.showRungs();
  }

  showRungs() {
    this.ladder.show(this.rungs, this.test?.units ?? {}, this.rung);
    this.curve.show(this.rungs, this.rung);
  }

  kept(point) {
    const units = this.test?.units;
    if (units) {
      this.cues.kept(point.doubtful, point.doubtful ? "Doubtful" : "Kept",
        `lift ${fixed(point.lift, placesOf(units.lift))} ${units.lift}: ` +
        `${withInterval(point.flow, point.flow_u95, units.flow)} ${units.flow}, ${point.verdict}`);
    }
    if (document.activeElement === this.orders.keep && this.state?.by_eye?.length) {
      this.typing.focus();
    }
  }

  told(told) {
    this.lastTold = told.text;
    this.said.add(told);
  }

  // ------------------------------------------------------------------ what is asked for

  mayCommand() {
    return Boolean(this.test) && this.orders.inCharge;
  }

  keep() {
    if (this.mayCommand() && this.state?.rung) {
      return this.command({do: "keep", rung: this.state.rung});
    }
    return null;
  }

  /** Why the readings are none; nothing when they are taken. */
  async type(readings) {
    try {
      await this.live.command({do: "read", text: readings});
      return null;
    } catch (error) {
      return error.message;
    }
  }

  /** What comes after typing is a keep, by the same hand. */
  typed() {
    if (this.test?.hands_free) {
      this.typing.focus();
    } else {
      this.orders.keep.focus();
    }
  }

  async command(body) {
    try {
      const done = await this.live.command(body);
      if (done.already) {
        this.said.answer("asked for already: kept once the average is good");
      } else if (done.asked) {
        this.said.answer("asked: somebody at the bench must agree, then take charge");
      }
    } catch (error) {
      this.said.answer(error.message);
    }
  }

  // ------------------------------------------------------------------ what is shown

  /** Whether a person reads one of the two pressures: then there is a value, and no steadiness. */
  pressureByEye() {
    return (this.state?.by_eye ?? []).some((one) => ["test_pressure", "element_drop"].includes(one.use));
  }

  /** How long nothing has come from the program [s]; 0 while it is heard. */
  silentSeconds() {
    const ms = performance.now() - this.live.heardAt;
    return ms > STALE_MS && !this.state?.clock_stands ? ms / 1000 : 0;
  }

  standing() {
    return standing(this.state ?? {}, {silentSeconds: this.silentSeconds(), lost: this.lost, byEye: this.pressureByEye(), rungs: this.rungs});
  }

  watch() {
    if (this.test && (this.silentSeconds() > 0 || !this.live.linked)) {
      this.show();
    }
  }

  show() {
    const {state, test} = this;
    if (!state || !test) {
      return;
    }
    const dead = this.silentSeconds() > 0;
    this.typing.show(state.by_eye ?? [], this.mayCommand() && state.phase !== "done");
    this.asks.show(state.questions ?? [], this.mayCommand());
    this.numbers.show(state, test.units, {dead, byEye: this.pressureByEye(), rungs: this.rungs, begunAnew: test.begun_anew});
    this.pressure.show(state, test.units, {dead, band: test.plan.aim_band});
    this.showVerdict();
    this.orders.show(state, test.hands_free, this.rungs);
  }

  showVerdict() {
    if (!this.test) {
      return;
    }
    const stands = this.standing();
    this.verdict.show(this.state ?? {}, stands, {target: this.test.plan.target ?? 0, byEye: this.pressureByEye()});
    this.orders.showStands(stands);
  }
}
