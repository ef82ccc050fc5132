// Who is in charge: one page commands, the others watch until they take charge or, as guests, are
// given it.

import {button, el, say} from "./build.js";

/** Whether this page's commands are taken. */
export function inCharge(whole) {
  return Boolean(whole.in_charge || !whole.charge_held);
}

/** What a page that only watches says, and what its button says: [sentence, word]. */
export function watching(whole) {
  return whole.guest && !whole.may_command ? ["You are a guest and watch.", "Ask for charge"]
    : [`${whole.guest ? "You may take charge" : "Another page is in charge"}; here you watch.`, "Take charge"];
}

/** The line under the page's head by which a watcher takes charge. */
export class ChargeBar {
  constructor(node, live) {
    this.node = node;
    this.text = el("span", {});
    this.said = el("span", {role: "status"});
    this.take = button("Take charge", () => this.ask(live), {id: "take-here"});
    node.append(el("p", {class: "line"}, this.text, this.take, this.said));
  }

  async ask(live) {
    try {
      const done = await live.command({do: "take"});
      say(this.said, done.asked ? "Asked: somebody at the bench must agree." : "");
    } catch (error) {
      say(this.said, error.message);
    }
  }

  /** @param elsewhere whether the page has another place for it */
  show(whole, elsewhere) {
    this.node.hidden = inCharge(whole) || elsewhere || Boolean(whole.over);
    const [sentence, word] = watching(whole);
    if (word !== this.take.textContent) {
      say(this.said, "");
    }
    say(this.text, sentence);
    say(this.take, word);
  }
}
