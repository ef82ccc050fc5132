// The capture page: what the operator reads from three metres, and the few things he can ask for.

import {button, el, say} from "./build.js";
import {inCharge, watching} from "./charge.js";
import {curve} from "./curve.js";
import {KeepPress, listenKeys} from "./keys.js";
import {ask} from "./live.js";
import {fixed, largePlaces, NONE, placesOf, withInterval} from "./numbers.js";
import {shape, SIGNS} from "./parts.js";
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
    this.earlier = null;
    this.digitsAt = 0;
    this.word = "";
    this.press = new KeepPress(() => this.keep());
    this.node = this.build();
    listenKeys(this.press, this.keepButton, () => this.node.isConnected && this.mayCommand());

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
    new ResizeObserver(() => this.showCurve()).observe(this.curveBox);
  }

  // ------------------------------------------------------------------ the page's parts

  build() {
    this.flow = el("span", {class: "digits", id: "flow"}, NONE);
    this.interval = el("span", {class: "interval", id: "interval"});
    this.flowUnit = el("span", {class: "unit"});
    this.flowHint = el("span", {class: "hint"});
    this.lift = el("span", {class: "digits", id: "lift"}, NONE);
    this.liftHint = el("span", {class: "hint", id: "lift-read"});
    this.liftHead = el("h2", {}, "Next lift");
    this.verdictShape = el("span", {class: "shapes"});
    this.verdictWord = el("span", {class: "word", id: "verdict"});
    this.seconds = el("span", {class: "seconds", id: "seconds"});
    this.reasons = el("p", {class: "reasons"});
    this.precision = el("span", {class: "clock"});
    this.stability = el("span", {class: "clock"});
    this.verdictBar = el("section", {class: "verdict", "aria-label": "Steadiness"},
      this.verdictShape, this.verdictWord, this.seconds,
      el("div", {class: "why"}, el("p", {class: "clocks"}, this.precision, this.stability), this.reasons));
    this.pressure = el("span", {class: "middle", id: "pressure"}, NONE);
    this.pressureUnit = el("span", {class: "unit"});
    this.needle = el("span", {class: "needle"});
    this.aim = el("span", {class: "hint"});
    this.ladder = el("ol", {class: "ladder", "aria-label": "Ladder", tabindex: 0});
    this.canvas = el("canvas", {role: "img", "aria-label": "Live flow of the last 25 seconds"});
    this.trace = new Trace(this.canvas);
    this.traceUnits = el("h2", {});
    this.curveUnits = el("span", {});
    this.curveBox = el("div", {class: "curve"});
    this.over = el("select", {"aria-label": "Earlier run to draw under this one", onchange: () => this.chooseEarlier(this.over.value)});
    this.sentence = el("p", {class: "sentence", role: "status"});
    this.buildButtons();
    this.typing = new Typing((readings) => this.type(readings), () => this.typed());
    return el("div", {class: "capture"},
      el("h1", {class: "unseen"}, "Capture"),
      el("section", {class: "numbers"},
        el("div", {class: "flow"}, el("h2", {}, "Flow, ", this.flowUnit, " ", this.flowHint), el("p", {}, this.flow, this.interval)),
        el("div", {class: "lift"}, this.liftHead, el("p", {}, this.lift), this.liftHint)),
      this.verdictBar,
      el("section", {class: "steps"},
        el("div", {class: "pressure"}, el("h2", {}, "Test pressure"), el("p", {}, this.pressure, this.pressureUnit),
          el("div", {class: "band", "aria-hidden": "true"}, el("span", {class: "aim"}), this.needle), this.aim),
        this.ladder,
        this.buttons),
      el("section", {class: "charts"},
        el("div", {class: "chart"}, this.traceUnits, this.canvas),
        el("div", {class: "chart"}, el("h2", {}, this.curveUnits, this.over), this.curveBox)),
      this.typing.node,
      this.sentence);
  }

  buildButtons() {
    this.keepButton = el("button", {type: "button", class: "keep", id: "keep", onclick: (event) => {
      this.press.press();
      if (event.detail > 0) {
        this.keepButton.blur();
      }
    }}, el("strong", {}, "Keep"), el("small", {}, "space or pedal"));
    this.more = this.buildMore();
    this.orders = el("div", {class: "orders"}, this.keepButton,
      el("div", {class: "row"},
        button("Undo", () => this.command({do: "undo"}), {id: "undo"}),
        button("Redo", () => this.command({do: "redo"}), {id: "redo"}),
        button("Skip", () => this.command({do: "skip"}), {id: "skip"}),
        button("More", () => this.more.showModal(), {id: "more"})));
    this.take = el("div", {class: "orders taken", hidden: true},
      this.watching = el("p", {}),
      this.takeButton = button("Take charge", () => this.command({do: "take"}), {id: "take", class: "keep"}));
    this.buttons = el("div", {class: "buttons"}, this.orders, this.take, this.more);
  }

  buildMore() {
    const note = el("input", {id: "note", maxlength: 2000, autocomplete: "off"});
    const close = () => dialog.close();
    const act = (body) => () => {
      this.command(body());
      close();
    };
    const dialog = el("dialog", {"aria-label": "More"},
      el("h2", {}, "More"),
      this.stands = el("p", {class: "stands"}),
      el("p", {}, button("Keep as it stands", act(() => ({do: "keep", now: true})), {id: "keep-now"}),
        " without waiting for a good average"),
      el("form", {class: "line", onsubmit: (event) => {
        event.preventDefault();
        if (note.value.trim()) {
          this.command({do: "note", text: note.value});
          note.value = "";
        }
        close();
      }}, el("label", {for: "note"}, "Note"), note, el("button", {type: "submit"}, "Write")),
      el("p", {}, button("End the test", act(() => ({do: "stop"})), {id: "stop"}), " with what is kept"),
      el("p", {}, button("Back", close)));
    return dialog;
  }

  // ------------------------------------------------------------------ what comes in

  takeWhole(whole) {
    this.test = whole.test ?? null;
    this.inCharge = inCharge(whole);
    this.orders.hidden = !this.inCharge;
    this.take.hidden = this.inCharge;
    const [sentence, word] = watching(whole);
    say(this.watching, sentence);
    say(this.takeButton, word);
    if (!this.test) {
      this.state = null;
      this.lost = [];
      return;
    }
    const {units} = this.test;
    this.lost = this.test.instruments.lost;
    say(this.flowUnit, units.flow);
    say(this.curveUnits, `Flow (${units.flow}) over lift (${units.lift}), over `);
    say(this.traceUnits, `Live flow, ${units.flow}`);
    say(this.pressureUnit, units.pressure);
    this.trace.load(this.test.trace, units.flow);
    this.takeLadder(this.test.ladder);
    this.takeState(this.test.live, true);
    const last = this.test.told.at(-1)?.text ?? "";
    if (last !== this.lastTold) { // else what this page was answered meanwhile would be wiped out
      this.lastTold = last;
      say(this.sentence, last);
    }
    this.fillEarlier();
  }

  takeState(state, always = false) {
    this.state = state;
    this.trace.add(state);
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
    this.showLadder();
    this.showCurve();
  }

  kept(point) {
    const units = this.test?.units;
    if (units) {
      this.cues.kept(point.doubtful, point.doubtful ? "Doubtful" : "Kept",
        `lift ${fixed(point.lift, placesOf(units.lift))} ${units.lift}: ` +
        `${withInterval(point.flow, point.flow_u95, units.flow)} ${units.flow}, ${point.verdict}`);
    }
    if (document.activeElement === this.keepButton && this.state?.by_eye?.length) {
      this.typing.focus();
    }
  }

  told(told) {
    this.lastTold = told.text;
    say(this.sentence, told.text);
    this.sentence.dataset.kind = told.kind;
  }

  // ------------------------------------------------------------------ what is asked for

  mayCommand() {
    return Boolean(this.test) && this.inCharge;
  }

  keep() {
    if (this.mayCommand() && this.state?.rung) {
      this.command({do: "keep", rung: this.state.rung});
    }
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
      this.keepButton.focus();
    }
  }

  async command(body) {
    try {
      const done = await this.live.command(body);
      if (done.already) {
        say(this.sentence, "asked for already: kept once the average is good");
      } else if (done.asked) {
        say(this.sentence, "asked: somebody at the bench must agree, then take charge");
      }
    } catch (error) {
      say(this.sentence, error.message);
    }
  }

  // ------------------------------------------------------------------ what is shown

  /** Whether a person reads one of the two pressures: then there is a value, and no steadiness. */
  pressureByEye() {
    return (this.state?.by_eye ?? []).some((one) => ["test_pressure", "element_drop"].includes(one.use));
  }

  stale() {
    return performance.now() - this.live.heardAt > STALE_MS && !this.state?.clock_stands;
  }

  watch() {
    if (this.test && (this.stale() || !this.live.linked)) {
      this.show();
    }
  }

  show() {
    const state = this.state;
    if (!state || !this.test) {
      return;
    }
    const units = this.test.units;
    const dead = this.stale();
    const averaged = state.flow !== undefined && state.flow !== null && state.phase === "averaging";
    const fresh = !dead && state.flow_fresh;
    const u = averaged ? state.flow_u95 : null;
    this.typing.show(state.by_eye ?? [], this.mayCommand() && state.phase !== "done");
    const places = u > 0 ? largePlaces(state.flow, u) : placesOf(units.flow);
    say(this.flow, !fresh ? NONE : fixed(averaged ? state.flow : state.live, places));
    say(this.interval, fresh && u > 0 ? `±${fixed(u, places)}` : "");
    say(this.flowHint, !fresh ? "no live reading" : !averaged ? "live, not averaged" : this.pressureByEye() ? "from what was typed" : "average ± 95 % interval of its fluctuation");
    this.flow.classList.toggle("faint", fresh && !averaged);

    const rung = this.rungs.find((one) => one.rung === state.rung);
    say(this.lift, state.phase === "done" ? "done" : fixed(state.lift_asked, placesOf(units.lift)));
    say(this.liftHead, rung ? `Next lift, ${units.lift}: ${rung.rung} of ${this.rungs.length}, ${state.sweep}${rung.returns ? ", again" : ""}` : "Next lift");
    say(this.liftHint, dead || !state.lift_fresh ? "no live lift" : `now at ${fixed(state.lift, placesOf(units.lift) + 1)} ${units.lift}`);

    const pressureFresh = !dead && state.pressure_fresh;
    say(this.pressure, pressureFresh ? fixed(state.pressure, placesOf(units.pressure)) : NONE);
    const off = (state.pressure - state.aim) / state.aim / this.test.plan.aim_band;
    const within = Math.abs(off) <= 1;
    say(this.aim, `aim ${fixed(state.aim, placesOf(units.pressure))} ± ${fixed(100 * this.test.plan.aim_band, 0)} %: ` +
      (!pressureFresh ? "no live reading" : within ? "within" : off < 0 ? "too low" : "too high"));
    this.needle.style.left = `${50 + 25 * Math.max(-2, Math.min(2, Number.isFinite(off) ? off : -2))}%`;
    this.needle.hidden = !pressureFresh;
    this.needle.classList.toggle("outside", !within);
    this.showVerdict();
    this.showKeep();
  }

  /** Word, shape and what to add: the one thing to be read from afar. */
  standing() {
    const state = this.state ?? {};
    if (state.phase === "done") {
      return ["done", "done", "all rungs are done; the test folder is being written"];
    }
    if (this.stale()) {
      return ["no data", "faulty", `nothing from the program for ${Math.round((performance.now() - this.live.heardAt) / 1000)} s`];
    }
    if (this.lost.length) {
      const disk = this.lost.every((one) => one.id === "disk" || one.id === "journal");
      return [disk ? "disk" : "lost", "faulty", this.lost.map((one) => one.why).join("; ")];
    }
    const wanted = (state.by_eye ?? []).filter((one) => one.wanted).map((one) => one.channel.replaceAll("_", " "));
    if (wanted.length && state.phase !== "averaging") {
      return ["type", "waiting", `set lift and test pressure, then read and type ${wanted.join(" and ")}`];
    }
    if (!state.pressure_fresh || !(state.flow_fresh || this.pressureByEye())) {
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

  showVerdict() {
    if (!this.test) {
      return;
    }
    const [word, look, why] = this.standing();
    say(this.verdictWord, word);
    if (this.verdictBar.dataset.look !== look) {
      this.verdictBar.dataset.look = look;
      this.verdictShape.replaceChildren(shape(look));
    }
    const averaging = this.state?.phase === "averaging" && look === this.state.verdict;
    say(this.seconds, averaging ? `${Math.floor(this.state.seconds ?? 0)}\u2009s` : "");
    this.showClocks(averaging);
    say(this.reasons, why);
    say(this.stands, why ? `${word}: ${why}` : word);
  }

  /** The two clocks of a rung: is the interval narrow enough, and was it watched long enough? */
  showClocks(averaging) {
    const {flow, flow_u95: u, precise, decided} = this.state ?? {};
    const asked = 100 * (this.test.plan.target ?? 0);
    this.precision.hidden = this.stability.hidden = !averaging || this.pressureByEye();
    say(this.precision, `${precise ? "✓" : "…"} ±${u > 0 && flow ? fixed(100 * u / Math.abs(flow), 2) : "?"} of ±${fixed(asked, 2)} % asked`);
    say(this.stability, decided ? "✓ watched long enough" : "… not watched long enough");
  }

  showKeep() {
    const armed = this.state.armed;
    const [strong, small] = this.keepButton.children;
    say(strong, armed ? "Keeping…" : "Keep");
    say(small, armed ? "once the average is good" : this.test.hands_free ? "keeps by itself" : "space or pedal");
    this.keepButton.classList.toggle("armed", armed);
  }

  showLadder() {
    const units = this.test?.units ?? {};
    const next = this.rungs.find((rung) => rung.stands === "open")?.rung;
    this.ladder.replaceChildren(...this.rungs.map((rung) => {
      const stands = rung.rung === next ? "next" : rung.stands;
      const lift = fixed(rung.lift, placesOf(units.lift));
      const flow = rung.point ? withInterval(rung.point.flow, rung.point.flow_u95, units.flow) : "";
      return el("li", {class: stands, "data-rung": rung.rung, title: rung.point ? `${flow} ${units.flow}, ${rung.point.verdict}` : stands},
        el("span", {class: "sign", "aria-hidden": "true"}, SIGNS[stands]),
        el("b", {}, lift), el("span", {class: "unseen"}, ` ${units.lift} ${stands} `),
        el("span", {class: "value"}, rung.point ? fixed(rung.point.flow, placesOf(units.flow)) : ""));
    }));
    this.ladder.querySelector(".next")?.scrollIntoView?.({block: "nearest", inline: "center"});
  }

  // ------------------------------------------------------------------ the earlier run

  async fillEarlier() {
    const tests = await ask("/api/tests").catch(() => []);
    const finished = tests.filter((test) => test.stands === "finished" && test.name !== this.test?.name &&
      test.units.flow === this.test?.units.flow && test.units.lift === this.test?.units.lift);
    const kept = localStorage.getItem("meniscus-earlier") ?? finished[0]?.name ?? "";
    this.over.replaceChildren(el("option", {value: ""}, "no earlier run"),
      ...finished.map((test) => el("option", {value: test.name}, test.name)));
    this.over.value = finished.some((test) => test.name === kept) ? kept : finished[0]?.name ?? "";
    await this.showEarlier(this.over.value);
  }

  chooseEarlier(name) {
    localStorage.setItem("meniscus-earlier", name);
    this.over.blur();
    return this.showEarlier(name);
  }

  async showEarlier(name) {
    this.earlier = name ? await ask(`/api/test?name=${encodeURIComponent(name)}`).catch(() => null) : null;
    this.showCurve();
  }

  showCurve() {
    const width = this.curveBox.clientWidth;
    const height = this.curveBox.clientHeight;
    if (!this.test || width < 60 || height < 40) {
      return;
    }
    const main = this.rungs.filter((rung) => !rung.own_pressure && !rung.returns);
    const runs = [];
    if (this.earlier) {
      runs.push({name: this.earlier.name, kind: "earlier", points: this.earlier.curve.slice(0, this.earlier.plan.rungs).filter((p) => p.sweep === "opening")});
    }
    runs.push({name: "this run", kind: "now", points: main.map((rung) => rung.point)});
    this.curveBox.replaceChildren(curve(runs, {
      width, height, units: this.test.units, size: Math.max(13, Math.min(20, width / 38)),
      lifts: this.rungs.map((rung) => rung.lift),
      next: this.rungs.find((rung) => rung.stands === "open")?.lift,
    }));
  }
}
