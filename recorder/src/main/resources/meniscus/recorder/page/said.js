// What a running test has said lately, newest first; what must not be missed stays until it is seen.

import {button, el, say} from "./build.js";

/** Kinds that stay until somebody has seen them. */
const STAY = new Set(["disk", "mirror", "not_safe", "fault", "lost", "short_pressure", "rougher", "refused"]);

/** So many sentences are shown; the others stand in the test's events. */
const SHOWN = 12;

export class Said {
  constructor() {
    this.newest = el("p", {class: "sentence", role: "status"});
    this.list = el("ol", {class: "said-list", tabindex: 0, "aria-label": "Said before that, newest first"});
    this.node = el("section", {class: "chart said", "aria-label": "Said lately"}, el("h2", {}, "Said lately"), this.newest, this.list);
    this.told = [];
  }

  /** All of it anew; what was seen stays seen while this page is open. */
  load(told) {
    const seen = new Set(this.told.filter((one) => one.seen).map((one) => one.text));
    this.told = told.slice(-SHOWN).reverse().map((one) => ({...one, seen: seen.has(one.text)}));
    this.answer(this.told[0]?.text ?? "");
    this.show();
  }

  add(one) {
    this.told = [{...one}, ...this.told].slice(0, SHOWN);
    this.answer(one.text);
    this.newest.dataset.kind = one.kind;
    this.show();
  }

  /** What this page alone is answered. */
  answer(text) {
    say(this.newest, text);
  }

  show() {
    const stays = (one) => STAY.has(one.kind) && !one.seen;
    const [first, ...rest] = this.told;
    const before = [...this.told.filter(stays), ...rest.filter((one) => !stays(one))];
    this.list.replaceChildren(...before.map((one) => el("li", {class: stays(one) ? "stays" : ""},
      stays(one) ? `▲ ${one.text} ` : one.text,
      stays(one) ? button("Seen", () => {
        one.seen = true;
        this.show();
      }, {class: "seen-it"}) : null)));
    this.list.hidden = !before.length || !first;
  }
}
