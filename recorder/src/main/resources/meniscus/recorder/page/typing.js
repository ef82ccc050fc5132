// The columns that a person reads: a field for each, large enough for a wet finger.

import {el, say, sent} from "./build.js";

/** Class of a field whose reading stands for this rung. */
const STANDS = "stands";

export class Typing {
  /**
   * @param send takes the readings as one text; resolves to why they are none, or to nothing
   * @param done after all is sent: where the keyboard goes next
   */
  constructor(send, done) {
    this.send = send;
    this.done = done;
    this.names = "";
    this.fields = new Map();
    this.fault = el("p", {class: "fault", role: "alert", id: "typing-fault"});
    this.box = el("div", {class: "columns"});
    this.node = el("form", {class: "typing", hidden: true, "aria-label": "Readings of the columns", onsubmit: sent(() => this.submit())}, el("h2", {}, "Read by eye: a number, or low..high of a column that swings"),
    this.box, el("button", {type: "submit", class: "keep", id: "type"}, "Type"), this.fault);
  }

  /** @param columns what is read by eye, and whether its reading is wanted */
  show(columns, mayCommand) {
    this.node.hidden = !columns.length || !mayCommand;
    const names = columns.map((one) => `${one.channel} ${one.unit}`).join();
    if (names !== this.names) {
      this.names = names;
      this.fields.clear();
      this.box.replaceChildren(...columns.map((one) => this.field(one)));
    }
    for (const one of columns) {
      const {sign, box} = this.fields.get(one.channel);
      say(sign, one.wanted ? "" : " ✓");
      box.classList.toggle(STANDS, !one.wanted);
    }
  }

  field(one) {
    const id = `typed-${one.channel}`;
    const input = el("input", {id, inputmode: "decimal", autocomplete: "off", enterkeyhint: "next", maxlength: 60});
    const sign = el("span", {});
    const box = el("div", {class: "column"},
      el("label", {for: id}, `${one.channel.replaceAll("_", " ")}, ${one.unit}`, sign), input);
    input.addEventListener("keydown", (event) => this.enter(event, one.channel));
    this.fields.set(one.channel, {input, sign, box});
    return box;
  }

  /** Enter goes to the next empty field, and from the last one sends. */
  enter(event, channel) {
    if (event.key !== "Enter" || !this.fields.get(channel).input.value.trim()) {
      return;
    }
    const next = this.all().find(({input, box}) => !input.value.trim() && !box.classList.contains(STANDS));
    if (next) {
      event.preventDefault();
      next.input.focus();
    }
  }

  all() {
    return [...this.fields.values()];
  }

  async submit() {
    const typed = [...this.fields].filter(([, {input}]) => input.value.trim());
    if (!typed.length) {
      say(this.fault, "Type what you read first.");
      this.focus();
      return;
    }
    const fault = await this.send(typed.map(([channel, {input}]) => `${channel} ${input.value.trim()}`).join("; "));
    say(this.fault, fault ?? "");
    if (fault) {
      return;
    }
    typed.forEach(([, {input}]) => {
      input.value = "";
    });
    this.done();
  }

  /** The keyboard goes to the first field that wants a reading. */
  focus() {
    const wanted = this.all().find(({box}) => !box.classList.contains(STANDS));
    (wanted ?? this.all()[0])?.input.focus();
  }
}
