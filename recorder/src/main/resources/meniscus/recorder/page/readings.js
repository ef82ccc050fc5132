// Live readings of the bench while nothing runs: is each gauge alive, is it the right one, does it
// move the right way, is it near its end, does it rest.

import {button, el, say, table} from "./build.js";
import {choice, labelled} from "./fields.js";
import {fixed, NONE} from "./numbers.js";

/** A movement of this share of the gauge's span is meant, not noise (our own choice). */
const MEANT = 0.01;

/** Others that move by this share of the largest movement are named (our own choice). */
const ALSO = 0.3;

const HOSES = [
  ["test_pressure", "the plenum's hose of the test pressure"],
  ["element_drop", "the hose behind the flow element (its low side)"],
];

export class Readings {
  /** @param listen asks for readings; blower: switches the simulated bench's */
  constructor({listen, blower}) {
    this.alive = undefined; // not listened to on this page yet
    this.overRange = false;
    this.since = new Map();
    this.box = el("div", {});
    this.verdict = el("p", {class: "wired", role: "status", id: "wired"}, "Choose the hose, press Begin, then suck gently on it.");
    this.hose = choice(HOSES, "test_pressure", {id: "hose"});
    this.warm = el("p", {id: "warm"});
    this.blower = el("p", {hidden: true}, button("Blower on", () => blower(true), {id: "blower-on"}), " ", button("Blower off", () => blower(false)), " of the simulated bench");
    this.node = el("div", {},
      el("p", {}, "As the gauges give them, before zero and calibration, with the blower off."),
      el("p", {}, button("Listen to the bench", listen, {id: "listen", class: "keep"})),
      this.blower, this.box,
      el("h3", {}, "Warm-up"), this.warm,
      el("h3", {}, "Wiring check"),
      el("div", {class: "line"}, labelled("I suck on", this.hose), button("Begin", () => this.begin(), {id: "begin-wiring"})),
      this.verdict);
    this.warmth([]);
  }

  begin() {
    this.since = new Map((this.channels ?? []).map((one) => [one.name, one.mean]));
    this.checking = this.hose.value;
    say(this.verdict, this.channels ? "Now suck gently, and hold." : "Listen to the bench first.");
  }

  show(json) {
    this.channels = json.channels;
    this.alive = json.all_heard;
    this.overRange = json.channels.some((one) => one.over_range);
    this.box.replaceChildren(
      this.overRange ? el("p", {class: "fault", role: "alert"}, "A gauge is over range: do not start the blower. Is a hose under water, is the gauge too small, is it the wrong hose?") : "",
      table(["Channel", "Used for", "Reading", "In its range", "Moved", "State"], json.channels.map(row), "Live readings"));
    this.warmth(json.channels);
    if (this.checking) {
      say(this.verdict, this.wiring());
    }
  }

  warmth(channels) {
    const moving = channels.filter((one) => one.rests === false);
    const known = channels.filter((one) => one.rests !== undefined);
    say(this.warm, !known.length ? "Leave the electronics on for half an hour, then listen for a minute: what still moves is named here."
      : moving.length ? `Still moving: ${moving.map((one) => `${one.name} by ${fixed(one.drift, 3)} ${one.unit} in ${one.drift_s} s`).join("; ")}. Wait before taking the zero.`
        : `At rest for ${Math.max(...known.map((one) => one.drift_s))} s: less than a quarter of each gauge's limits.`);
  }

  /** Which channel moved since the check began, and which way. */
  wiring() {
    const moved = this.channels.filter((one) => this.since.has(one.name) && one.high > one.low && ["test_pressure", "element_drop"].includes(one.use))
      .map((one) => ({one, by: (one.mean - this.since.get(one.name)) * (one.inverted ? -1 : 1), span: one.high - one.low}))
      .map((each) => ({...each, share: Math.abs(each.by) / each.span}))
      .sort((a, b) => b.share - a.share);
    const [first, second] = moved;
    if (!first || !(first.share > MEANT)) {
      return "… nothing has moved yet";
    }
    const by = `${first.one.name} moved by ${fixed(first.by, 2)} ${first.one.unit}`;
    if (first.one.use !== this.checking) {
      return `▲ The wrong channel: ${by}. Are the hoses changed over, or the channels in the bench file?`;
    }
    if (first.by < 0) {
      return `▲ The right channel, the wrong way: ${by}. Change the two hoses of this gauge, or tick “counts the other way”.`;
    }
    return `✓ The right channel, the right way: ${by}` +
      (second && second.share > ALSO * first.share ? `; ${second.one.name} moved too, as it does when both see the plenum.` : ".");
  }
}

function row(one) {
  const share = (one.mean - one.low) / (one.high - one.low);
  return [
    one.name,
    one.use ? one.use.replaceAll("_", " ") : NONE,
    one.mean === null ? NONE : `${fixed(one.mean, 3)} ${one.unit}`,
    Number.isFinite(share) ? el("meter", {min: 0, max: 1, low: 0.05, high: 0.95, optimum: 0.5, value: share.toFixed(3), "aria-label": `${Math.round(share * 100)} % of its range`}) : NONE,
    one.moved === null ? NONE : `${one.moved > 0 ? "+" : ""}${fixed(one.moved, 3)} ${one.unit}`,
    one.lost ? `▲ lost: ${one.lost}` : one.over_range ? "▲ over range" : one.alive ? "● alive" : one.quiet_s === null ? "… not heard yet" : `▲ silent for ${Math.round(one.quiet_s)} s`,
  ];
}
