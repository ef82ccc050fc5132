// The try-out: what goes on at the simulated bench, said while it goes on.

import {button, el, say} from "./build.js";
import {ask} from "./live.js";

/** Each step of the job: what it is called, and why it is done. */
const STEPS = {
  zero: ["Zero", "The blower is off, both hoses are open. What the gauges show now is not pressure, and is taken off from here on."],
  gauges: ["Both gauges", "Both gauges hang on one hose. Whatever they disagree by would bend every result alike, and nothing else shows it."],
  leakage: ["Leakage", "The hole for the head is taped over. What still flows comes in through joints, and is taken off."],
  calibration: ["Calibration", "Plates whose flow is certified stand where a head would, at three pressures each. What the bench says too much or too little becomes its correction."],
  check: ["Plate check", "One plate once more, against the new calibration. Weekly, this tells whether the bench still tells the truth."],
  calm: ["Calm record", "How much the air fluctuates on plates, where nothing can separate. What a port does beyond that is the port's."],
  repeatability: ["Repeatability", "The same head is put on six times from scratch. A gain has to beat how much these six differ."],
  before: ["First test: the head as received", "Hands-free: when the valve rests at the next lift, the flow is averaged until it is known well enough, and kept."],
  after: ["Second test: its bowl has been blended", "The same lifts again. Watch what happens from 0.500 in on."],
  comparing: ["Comparing", "Which differences are larger than chance, fitting and the bench's drift together?"],
};

/** What is to be seen at a lift, by verdict. */
const SEEN = {
  brief: "Too early to say: the average grows.",
  steady: "Steady: the air stays attached, and the average can be trusted.",
  rough: "Rougher than a plate, as healthy ports are.",
  drifting: "The level still moves: not kept yet.",
  unsteady: "Unsteady: rougher than the lifts below give reason to expect.",
  switching: "Switching: the flow jumps between two levels. The air lets go of the short side, and comes back.",
};

export class TryOut {
  /** @param node where it is told, on every part of the page */
  constructor(node, live) {
    this.node = node;
    this.live = live;
    this.title = el("strong", {});
    this.why = el("span", {});
    this.seen = el("span", {class: "seen"});
    this.bar = el("progress", {max: 1, value: 0, "aria-label": "How far the try-out is"});
    this.stop = button("Stop", () => this.ask("stop"), {id: "try-out-stop"});
    this.after = el("span", {class: "after"});
    node.append(el("p", {class: "line"}, this.bar, el("span", {class: "told", role: "status"}, this.title, " ", this.why, " ", this.seen), this.after, this.stop));
    live.on("whole", (whole) => this.show(whole.try_out));
    live.on("state", (state) => this.see(state));
  }

  ask(what) {
    return ask("/api/try-out", {do: what, quick: false, client: this.live.client});
  }

  show(stands) {
    const ended = stands && !stands.step;
    this.stands = stands;
    this.node.hidden = !stands || this.closed === stands.name;
    if (!stands) {
      return;
    }
    const [title, why] = STEPS[stands.step] ?? ending(stands);
    say(this.title, ended ? title : `${stands.number} of ${stands.steps}. ${title}.`);
    say(this.why, why);
    say(this.seen, "");
    this.bar.hidden = ended;
    this.bar.max = stands.steps;
    this.bar.value = stands.number ?? stands.steps;
    this.stop.hidden = ended;
    this.after.replaceChildren(...ended ? this.links(stands) : []);
  }

  links({name, done}) {
    const runs = new URLSearchParams({before: `${name}/before`, after: `${name}/after`});
    return [
      ...done ? [el("a", {href: `#change/${runs}`, id: "try-out-change"}, "What changed, lift by lift"), el("a", {href: `#test/${encodeURIComponent(`${name}/after`)}`}, "The second test")] : [],
      el("a", {href: "#set-up/bench"}, "Set up my bench"),
      button("Close", () => {
        this.closed = name;
        this.node.hidden = true;
      }, {id: "try-out-close"})];
  }

  /** The verdict in a sentence, while one of the two tests runs. */
  see({phase, verdict}) {
    if (this.stands?.step) {
      say(this.seen, phase === "averaging" ? SEEN[verdict] ?? "" : "");
    }
  }
}

function ending({name, done, failed}) {
  return done ? ["The whole job is done.", `All of it lies in the folder ${name}; your own bench is untouched.`]
    : ["The try-out has ended.", failed ?? `What it wrote lies in the folder ${name}.`];
}
