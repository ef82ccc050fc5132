// What a person can ask for at Capture: Keep, Undo, Redo, Skip, what More holds, and taking charge.

import {button, el, say, sent, taken} from "./build.js";
import {inCharge, watching} from "./charge.js";
import {KeepPress} from "./keys.js";

export class Orders {
  /**
   * @param command sends what is asked for
   * @param keep asks for the keep of the rung that is open
   */
  constructor(command, keep) {
    this.command = command;
    this.press = new KeepPress(() => taken(this.keep, keep()));
    this.keep = el("button", {type: "button", class: "keep", id: "keep", onclick: (event) => {
      this.press.press();
      if (event.detail > 0) {
        this.keep.blur();
      }
    }}, el("strong", {}, "Keep"), el("small", {}, "space or pedal"));
    this.more = this.buildMore();
    this.orders = el("div", {class: "orders"}, this.keep,
      el("div", {class: "row"},
        button("Undo", () => command({do: "undo"}), {id: "undo"}),
        button("Redo", () => command({do: "redo"}), {id: "redo"}),
        button("Skip", () => command({do: "skip"}), {id: "skip"}),
        button("More", () => this.more.showModal(), {id: "more"})));
    this.take = el("div", {class: "orders taken", hidden: true},
      this.watching = el("p", {}),
      this.takeButton = button("Take charge", () => command({do: "take"}), {id: "take", class: "keep"}));
    this.node = el("div", {class: "buttons"}, this.orders, this.take, this.more);
  }

  buildMore() {
    const note = el("input", {id: "note", maxlength: 2000, autocomplete: "off"});
    const close = () => dialog.close();
    // It stays open until it is answered: the pressed button shows that it was taken.
    const act = (body) => () => this.command(body).then(close);
    const dialog = el("dialog", {"aria-label": "More"},
      el("h2", {}, "More"),
      this.stands = el("p", {class: "stands"}),
      el("p", {}, button("Keep as it stands", act({do: "keep", now: true}), {id: "keep-now"}),
        " without waiting for a good average"),
      el("form", {class: "line", onsubmit: sent(() => {
        const text = note.value.trim();
        note.value = "";
        return text ? act({do: "note", text})() : close();
      })}, el("label", {for: "note"}, "Note"), note, el("button", {type: "submit"}, "Write")),
      el("p", {}, button(this.end = el("span", {}), () => this.stopOrAsk(act({do: "stop"})), {id: "stop"}), this.endWhat = el("span", {}, " with what is kept")),
      el("p", {}, button("Back", close)));
    dialog.addEventListener("close", () => this.asked = false);
    return dialog;
  }

  /** Ending before the last lift is asked once. */
  stopOrAsk(stop) {
    if (!this.open || this.asked) {
      return stop();
    }
    this.asked = true;
    this.showEnd();
    return null;
  }

  showEnd() {
    say(this.end, this.asked ? `End it with ${this.count - this.open} of ${this.count} lifts` : "End the test");
    say(this.endWhat, this.asked ? ` ${this.open} are not taken yet. Press once more to end it, Back to go on.` : " with what is kept");
  }

  /** Whether this page commands or watches. */
  showCharge(whole) {
    this.inCharge = inCharge(whole);
    this.orders.hidden = !this.inCharge;
    this.take.hidden = this.inCharge;
    const [sentence, word] = watching(whole);
    say(this.watching, sentence);
    say(this.takeButton, word);
  }

  /** @param handsFree whether rungs are kept by themselves; rungs: the ladder */
  show(state, handsFree, rungs) {
    this.count = rungs.length;
    this.open = rungs.filter((rung) => rung.stands === "open").length;
    this.showEnd();
    const [strong, small] = this.keep.children;
    say(strong, state.armed ? "Keeping…" : "Keep");
    say(small, state.armed ? "once the average is good" : handsFree ? "keeps by itself" : "space or pedal");
    this.keep.classList.toggle("armed", state.armed);
  }

  /** The verdict once more, in full, for a person at the screen. */
  showStands([word, , why]) {
    say(this.stands, why ? `${word}: ${why}` : word);
  }
}
