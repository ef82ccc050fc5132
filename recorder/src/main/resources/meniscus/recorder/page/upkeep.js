// What goes on at the bench outside a test: what to do, how the reading stands, what came out.

import {button, el, say, svg} from "./build.js";
import {ticks} from "./numbers.js";
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
    this.points = el("div", {});
    this.rows = el("div", {});
    this.end = el("div", {});
    this.stop = button("Stop", () => send({do: "stop"}), {id: "upkeep-stop"});
    this.node = el("section", {class: "card under-way", hidden: true, "aria-label": "Under way"});
    this.title = el("h3", {});
    this.node.append(this.title, this.step, this.doing, this.live, this.asks, this.reads, this.points, this.rows, this.end, this.stop);
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
    this.points.replaceChildren(...json.points?.length ? [correction(json.points, json.drop_unit)] : []);
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
    say(this.large, `${number(json.pressure)}${json.at_rest ? "" : ` of ${number(json.asked)}`} ${json.unit}`);
    say(this.small, [json.at_rest ? "at rest" : `wanted ${number(json.low)} to ${number(json.high)}`, `drop ${number(json.drop)} ${json.unit}`,
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
      return this.send(body);
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

/** The correction as it grows: what each reading says of the element, over its drop. */
function correction(points, unit) {
  const [width, height, left, right, top, bottom] = [900, 220, 76, 880, 12, 180];
  const ends = points.flatMap((one) => [one.percent - one.u95_percent, one.percent + one.u95_percent]);
  const reach = Math.max(...ends) - Math.min(...ends) || 1;
  const [low, high] = [Math.min(...ends) - 0.1 * reach, Math.max(...ends) + 0.1 * reach];
  const logs = points.map((one) => Math.log(Math.max(one.drop, 1e-9)));
  const [first, last] = [Math.min(...logs) - 0.2, Math.max(...logs) + 0.2];
  const x = (i) => left + ((logs[i] - first) / (last - first)) * (right - left);
  const y = (value) => bottom - ((value - low) / (high - low)) * (bottom - top);
  return el("figure", {class: "health"}, el("figcaption", {}, "What each reading says of the element, % over its description, against its drop"),
    svg("svg", {viewBox: `0 0 ${width} ${height}`, width, height, "font-size": 14, role: "img", class: "readings",
      "aria-label": points.map((one) => `plate ${one.plate}: ${one.percent} % at ${one.drop} ${unit}`).join(", ")},
    ticks(low, high, 4).map((tick) => [svg("line", {x1: left, x2: right, y1: y(tick.at), y2: y(tick.at), class: "grid"}),
      svg("text", {x: left - 8, y: y(tick.at) + 5, "text-anchor": "end"}, tick.text)]).flat(),
    svg("g", {class: "run now"}, points.map((one, i) => [
      svg("line", {x1: x(i), x2: x(i), y1: y(one.percent - one.u95_percent), y2: y(one.percent + one.u95_percent), class: "bar"}),
      svg("circle", {cx: x(i), cy: y(one.percent), r: 5, class: "dot"})]).flat()),
    points.map((one, i) => points.findIndex((other) => other.plate === one.plate) === i ?
      svg("text", {x: x(i), y: bottom + 22, "text-anchor": "middle"}, one.plate) : null).filter(Boolean)));
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
