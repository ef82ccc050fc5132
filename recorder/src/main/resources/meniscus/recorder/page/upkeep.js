// What goes on at the bench outside a test: what to do, how the reading stands, what came out.

import {button, el, say} from "./build.js";
import {Typing} from "./typing.js";

/** What goes on, asks and has come out: the same box under each of the four. */
export class UnderWay {
  /**
   * @param send asks something of the program
   * @param type sends what was read by eye; resolves to why it is no reading, or to nothing
   */
  constructor(send, type) {
    this.send = send;
    this.keep = button("Keep", () => send({do: "keep"}), {class: "keep", id: "reading-keep"});
    this.read = el("p", {class: "read", role: "status"});
    this.typing = new Typing(type, () => this.focus());
    this.reads = el("div", {class: "reads", hidden: true}, this.typing.node, this.read,
      el("p", {class: "row"}, this.keep, button("Leave this out", () => send({do: "leave_out"}), {id: "reading-out"})));
    this.doing = el("p", {class: "doing", role: "status"});
    this.step = el("p", {class: "upkeep-step", hidden: true});
    this.asks = el("div", {class: "asks", hidden: true});
    this.large = el("p", {class: "large"});
    this.small = el("p", {class: "row"});
    this.live = el("div", {class: "reading-live", hidden: true, "aria-label": "The reading"}, this.large, this.small);
    this.rows = el("div", {});
    this.end = el("div", {});
    this.stop = button("Stop", () => send({do: "stop"}), {id: "upkeep-stop"});
    this.node = el("section", {class: "card under-way", hidden: true, "aria-label": "Under way"});
    this.title = el("h3", {});
    this.node.append(this.title, this.step, this.doing, this.live, this.asks, this.reads, this.rows, this.end, this.stop);
    this.at = performance.now();
    setInterval(() => this.tick(), 1000);
  }

  show(json) {
    this.json = json;
    this.node.hidden = !json.task;
    if (!json.task) {
      return;
    }
    say(this.title, json.title);
    if (this.said !== json.doing) {
      this.said = json.doing;
      this.at = performance.now();
    }
    this.tick();
    this.stop.hidden = !json.running;
    this.ask(json);
    if (!json.running || json.asks || json.ready || json.missed) {
      this.live.hidden = true;
    }
    this.look(json.running ? json.reads : null);
    // The newest stands above in large letters while it goes on.
    const log = json.running && !asked(json) ? json.log.slice(0, -1) : json.log;
    this.rows.replaceChildren(log.length ? el("ul", {class: "log", tabindex: 0, "aria-label": "What was done"}, log.map((one) => el("li", {class: one.good ? "" : "doubt"}, (one.good ? "" : "▲ ") + one.text))) : "");
    this.end.replaceChildren(...(json.outcome ? outcome(json.outcome) : []));
  }

  tick() {
    const json = this.json;
    if (!json?.task) {
      return;
    }
    const seconds = Math.round((performance.now() - this.at) / 1000);
    this.doing.hidden = !json.running || Boolean(asked(json));
    say(this.doing, `${json.doing} … ${seconds} s`);
    this.step.hidden = this.doing.hidden || !json.step;
    say(this.step, json.step ?? "");
  }

  /** Columns that are to be read by eye. */
  look(reads) {
    const columns = reads?.columns ?? [];
    const begins = this.reads.hidden && columns.length;
    this.reads.hidden = !columns.length;
    this.typing.show(columns, true);
    const readyNow = Boolean(reads?.keeps) && this.keep.disabled;
    this.keep.disabled = !reads?.keeps;
    if (readyNow && this.reads.contains(document.activeElement)) {
      this.focus();
    }
    const all = columns.length && columns.every((one) => !one.wanted);
    say(this.read, [reads?.said, all && !reads.keeps ? reads.next : ""].filter(Boolean).join("; "));
    if (begins) {
      this.typing.focus();
    }
  }

  /** What comes after typing is a keep, by the same hand. */
  focus() {
    if (this.keep.disabled) {
      this.typing.focus();
    } else {
      this.keep.focus();
    }
  }

  /** Test pressure, drop and rest of the reading that goes on. */
  reading(json) {
    this.live.hidden = !this.json?.running || Boolean(asked(this.json));
    this.live.classList.toggle("out", !json.in_band);
    say(this.large, `${number(json.pressure)} ${json.unit}`);
    say(this.small, [`wanted ${number(json.low)} to ${number(json.high)}`, `drop ${number(json.drop)} ${json.unit}`,
      json.in_band ? `still for ${Math.round(json.still_s ?? 0)} of ${Math.round(json.longest_s)} s at most` : "not in its band yet"].join(" · "));
  }

  ask(json) {
    const what = asked(json);
    this.asks.hidden = !what;
    if (!what || this.asked === what) {
      this.asked = what;
      return;
    }
    this.asked = what;
    const answer = (body) => () => {
      this.asked = null;
      this.send(body);
    };
    this.asks.replaceChildren(...json.asks ? [
      el("p", {class: "plate-name"}, `Plate ${json.asks}`),
      el("p", {}, "Blower off. Mount it where the head stands, its bevel looking the way the air goes: into the bench on suction, into the room on blowing. Make the joint tight. Then the blower on."),
      el("p", {class: "row"},
        button("Mounted, bevel downstream", answer({do: "mounted", bevel: "downstream"}), {class: "keep", id: "mounted"}),
        button("Mounted, it has no bevel", answer({do: "mounted", bevel: "none"})),
        button("Leave this plate out", answer({do: "leave_out"})))] :
      json.ready ? [el("p", {}, json.ready), el("p", {class: "row"}, button("Done", answer({do: "ready"}), {class: "keep", id: "ready"}))] :
        [el("p", {class: "doubt"}, `▲ ${json.missed}`), el("p", {class: "row"},
          button("Read it again", answer({do: "again"}), {class: "keep", id: "again"}),
          button("Again, three times as long", answer({do: "longer"}), {id: "longer"}),
          button("Leave it out", answer({do: "leave_out"})))]);
  }
}

/** What a person is asked, as one text; nothing while the program works. */
function asked(json) {
  return json.asks ?? json.ready ?? json.missed ?? "";
}

function number(value) {
  return Number.isFinite(value) ? String(Number(value.toPrecision(value < 100 ? 3 : 4))) : "–";
}

const ENDS = {"done": ["good", "✓ Done"], "done with doubt": ["doubt", "▲ Stored; look at this before you trust the bench"],
  "refused": ["doubt", "▲ Not stored"], "stopped": ["doubt", "■ Stopped"]};

function outcome(end) {
  const [look, word] = ENDS[end.kind] ?? ENDS.refused;
  return [
    el("p", {class: `ended ${look}`}, word),
    el("ul", {}, end.lines.map((line, i) => el("li", {class: end.good[i] ? "" : "doubt"}, (end.good[i] ? "" : "▲ ") + line))),
    end.page ? el("p", {}, el("a", {href: end.page, target: "_blank", rel: "noopener"}, "Calibration page, to print")) : "",
  ];
}
