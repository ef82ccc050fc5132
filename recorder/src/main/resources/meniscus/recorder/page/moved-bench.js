// A bench file that was moved or copied: before anything is done with it, somebody says what it is.

import {button, el, say} from "./build.js";
import {ask} from "./live.js";

/** What came of it, told wherever the question stood. */
let settled = "";

/** The question, while it stands open. */
export class MovedBench {
  constructor(live) {
    this.live = live;
    this.what = el("p", {});
    this.fault = el("p", {class: "fault", role: "alert"});
    this.question = el("section", {class: "card", "aria-label": "Is it the same bench?"}, el("h2", {}, "Is it the same bench?"), this.what,
      el("p", {class: "hint"}, "Zero, leakage, calibration and repeatability hold for one bench alone. Another bench gets an id of its own and learns them anew; the file as it was stays beside it."),
      el("p", {class: "line"}, button("The same bench", () => this.settle(true), {class: "keep", id: "same-bench"}), button("Another bench", () => this.settle(false), {id: "another-bench"})),
      this.fault);
    this.said = el("p", {role: "status", id: "settled"});
    this.node = el("div", {}, this.question, this.said);
    this.show();
  }

  /** Whether nothing can be done with the bench before it is answered. */
  get open() {
    const {stands, elsewhere} = this.live.whole.bench ?? {};
    return stands === "ready" && elsewhere;
  }

  show() {
    const {name, file} = this.live.whole.bench ?? {};
    this.question.hidden = !this.open;
    say(this.what, `${file} was moved or copied: “${name}” was at home elsewhere.`);
    say(this.said, settled);
  }

  async settle(same) {
    say(this.fault, "");
    try {
      ({settled} = await ask("/api/moved-bench", {same, client: this.live.client}));
      this.show();
      if (!same) {
        location.hash = "set-up/bench";
      }
    } catch (error) {
      say(this.fault, error.message);
    }
  }
}
