// What a running test asks besides lifts: the dial on the seat, and whether to confirm a suspicion.

import {button, el, sent} from "./build.js";

/** What a question asks, by its kind. */
const WORDS = {
  seat_before: "Valve shut, blower off: what does the dial show?",
  seat_after: "Stop the blower, let the valve shut: what does the dial show now?",
};

/** Questions that nothing goes on without. */
const HANDS = new Set(["confirm", "other_way"]);

export class Asks {
  /** @param command sends what is asked for */
  constructor(command) {
    this.command = command;
    this.shown = "";
    this.node = el("section", {class: "asks", "aria-label": "Asked by the test", hidden: true});
  }

  /** @param commands whether this page may answer */
  show(questions, commands) {
    const first = questions.find((one) => HANDS.has(one.kind)) ?? questions[0]; // one at a time: the charts keep their place
    const asked = JSON.stringify([first ?? null, commands]);
    if (asked === this.shown) { // else a reading that is being typed would be wiped out
      return;
    }
    this.shown = asked;
    this.node.hidden = !first;
    this.node.replaceChildren(...!first ? [] :
      [first.kind === "confirm" ? this.confirm(first, commands) : first.kind === "other_way" ? this.otherWay(first, commands) : this.seat(first, commands)]);
  }

  confirm({text}, commands) {
    return el("p", {class: "ask"},
      el("span", {}, `The flow falls or jumps at ${text}. Is it the short side?`),
      ...(commands ? [
        button(`Confirm ${text}`, () => this.command({do: "confirm", text}), {id: "confirm"}),
        button("No", () => this.command({do: "skip"}), {id: "no-confirm"})] : []));
  }

  otherWay({text}, commands) {
    return el("p", {class: "ask"},
      el("span", {}, `Now ${text} with the air going the other way: stop the blower, change the hoses, start it again.`),
      ...(commands ? [button("Leave this control out", () => this.command({do: "skip"}), {id: "no-other-way"})] : []));
  }

  seat({kind, typed}, commands) {
    if (!typed) {
      return el("p", {class: "ask"}, WORDS[kind], " It is read by itself once the valve rests.");
    }
    const reading = el("input", {id: "seat", size: 10, autocomplete: "off", placeholder: "0.0005 in"});
    return el("form", {class: "ask line", onsubmit: sent(() => this.command({do: "seat", text: reading.value}))}, el("label", {for: "seat"}, WORDS[kind]), ...(commands ? [reading, el("button", {type: "submit"}, "Read")] : []));
  }
}

/** What the verdict bar says while the end of a test waits for an answer. */
export function waitsFor(questions) {
  return questions.some((one) => one.kind === "confirm") ? ["confirm?", "waiting", "all lifts are done; answer the question below"] :
    questions.some((one) => one.kind === "other_way") ? ["hoses", "waiting", "change the hoses with the blower off; it goes on by itself"] :
    questions.some((one) => one.kind === "seat_after") ? ["shut it", "waiting", "shut the valve: the dial is read on the seat"] : null;
}
