// Zero, leakage, calibration and plate check, guided step by step: what to do at the bench, what
// the program does meanwhile, what came out.

import {button, el, say, table} from "./build.js";
import {choice, labelled} from "./fields.js";
import {when} from "./numbers.js";
import {Typing} from "./typing.js";

const DIRECTIONS = ["suction", "blowing"];

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
    this.asks = el("div", {class: "asks", hidden: true});
    this.rows = el("div", {});
    this.end = el("div", {});
    this.stop = button("Stop", () => send({do: "stop"}), {id: "upkeep-stop"});
    this.node = el("section", {class: "card under-way", hidden: true, "aria-label": "Under way"});
    this.title = el("h3", {});
    this.node.append(this.title, this.doing, this.asks, this.reads, this.rows, this.end, this.stop);
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
    this.ask(json.asks);
    this.look(json.running ? json.reads : null);
    // The newest stands above in large letters while it goes on.
    const log = json.running && !json.asks ? json.log.slice(0, -1) : json.log;
    this.rows.replaceChildren(log.length ? el("ul", {class: "log", tabindex: 0, "aria-label": "What was done"}, log.map((one) => el("li", {class: one.good ? "" : "doubt"}, (one.good ? "" : "▲ ") + one.text))) : "");
    this.end.replaceChildren(...(json.outcome ? outcome(json.outcome) : []));
  }

  tick() {
    const json = this.json;
    if (!json?.task) {
      return;
    }
    const seconds = Math.round((performance.now() - this.at) / 1000);
    this.doing.hidden = !json.running || Boolean(json.asks);
    say(this.doing, `${json.doing} … ${seconds} s`);
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

  ask(plate) {
    this.asks.hidden = !plate;
    if (!plate || this.asked === plate) {
      return;
    }
    this.asked = plate;
    const answer = (body) => () => {
      this.asked = null;
      this.send(body);
    };
    this.asks.replaceChildren(
      el("p", {class: "plate-name"}, `Plate ${plate}`),
      el("p", {}, "Blower off. Mount it where the head stands, its bevel looking the way the air goes: into the bench on suction, into the room on blowing. Make the joint tight. Then the blower on."),
      el("p", {class: "row"},
        button("Mounted, bevel downstream", answer({do: "mounted", bevel: "downstream"}), {class: "keep", id: "mounted"}),
        button("Mounted, it has no bevel", answer({do: "mounted", bevel: "none"})),
        button("Leave this plate out", answer({do: "leave_out"}))));
  }
}

function outcome(end) {
  return [
    el("p", {class: `ended ${end.doubt ? "doubt" : "good"}`}, end.doubt ? "▲ Look at this before you trust the bench" : "✓ Done"),
    el("ul", {}, end.lines.map((line) => el("li", {}, line))),
    end.page ? el("p", {}, el("a", {href: end.page, target: "_blank", rel: "noopener"}, "Calibration page, to print")) : "",
  ];
}

// -------------------------------------------------------------------- the four forms

function form(id, title, fields, go, act, simulated) {
  const quick = el("input", {type: "checkbox", checked: true, class: "quick"});
  return el("form", {class: "card", id, onsubmit: (event) => {
    event.preventDefault();
    act(simulated && quick.checked ? {quick: true} : {});
  }},
  fields,
  simulated ? el("label", {class: "check"}, quick, "Simulated time: as fast as it can be worked out") : "",
  el("button", {type: "submit", class: "keep"}, go));
}

export function zeroForm(detail, simulated, send) {
  const seconds = el("input", {value: 10, inputmode: "numeric", size: 4});
  const lift = el("input", {type: "checkbox"});
  return [
    el("ol", {class: "to-do"},
      el("li", {}, "Electronics on for half an hour; the blower a few minutes, then off."),
      el("li", {}, "Wait until the blower has run down. Leave the hoses on."),
      el("li", {}, "Take the zero. A gauge that still moves is refused. Columns read by eye: set their scales to zero, then type what they show.")),
    form("zero-form", "Zero", [labelled("Seconds to read", seconds),
      el("label", {class: "check"}, lift, "The valve is shut: zero the lift indicator too")], "Take the zero",
    (more) => send({do: "zero", seconds: Number(seconds.value), lift: lift.checked, ...more}), simulated),
    detail.zeros?.length ? table(["Gauge", "Zero", "Noise", "Taken"], detail.zeros.map((one) => [one.gauge, one.offset, one.noise, when(one.at)]), "Zeros in use") : "",
  ];
}

export function leakageForm(detail, simulated, send) {
  const direction = choice(DIRECTIONS, "suction");
  const range = choice(names(detail), smallest(detail));
  const setUp = el("input", {value: "bench blanked", maxlength: 100});
  const at = el("input", {value: pressures(detail, [7, 14, 28]), autocomplete: "off"});
  const limit = el("input", {value: "1 cfm", autocomplete: "off"});
  return [
    el("ol", {class: "to-do"},
      el("li", {}, "Close the hole where the head stands; or with the head on: valves shut, other openings plugged, and say so below."),
      el("li", {}, "Switch to the smallest flow element."),
      el("li", {}, "Blower on. The program reads at each test pressure, lowest first: set it and hold it.")),
    form("leakage-form", "Leakage", el("div", {class: "fields"}, labelled("Direction", direction), labelled("Flow element", range),
      labelled("What is mounted", setUp), labelled("Test pressures", at), labelled("Largest leak to accept", limit, "1 cfm is common practice, no source.")),
    "Measure the leakage", (more) => send({do: "leakage", direction: direction.value, range: range.value, set_up: setUp.value, at: at.value, limit: limit.value, ...more}), simulated),
    detail.leakages?.length ? table(["Direction", "Mounted", "Leak", "Taken"], detail.leakages.map((one) => [one.direction, one.set_up, one.flow, when(one.at)]), "Leaks measured") : "",
  ];
}

export function calibrationForm(detail, simulated, send) {
  const direction = choice(DIRECTIONS, "suction");
  const range = choice(names(detail), names(detail)[0]);
  const at = el("input", {value: pressures(detail, [10, 20, 28]), autocomplete: "off"});
  const plates = (detail.plates ?? []).map((plate) => el("input", {type: "checkbox", value: plate.name, checked: true}));
  return [
    el("ol", {class: "to-do"},
      el("li", {}, "Zero and leakage first."),
      el("li", {}, "The program asks for one plate after the other. The sharp edge meets the air; the bevel looks downstream."),
      el("li", {}, "At each plate hold each test pressure until it is read. Suction and blowing, and each flow element, are calibrated apart.")),
    !plates.length ? el("p", {class: "fault"}, "There are no plates yet: write them down under Plates.") :
      form("calibration-form", "Calibration", [el("div", {class: "fields"}, labelled("Direction", direction), labelled("Flow element", range), labelled("Test pressures", at)),
        el("fieldset", {class: "ticks"}, el("legend", {}, "Plates"), plates.map((input) => el("label", {class: "check"}, input, input.value)))],
      "Calibrate", (more) => send({do: "calibrate", direction: direction.value, range: range.value, at: at.value,
        plates: plates.filter((input) => input.checked).map((input) => input.value), ...more}), simulated),
    detail.calibrations?.length ? table(["Direction", "Flow element", "Taken", "Version", ""], detail.calibrations.map((one) => [
      one.direction, one.range, when(one.at), el("a", {href: `/calibration?sha256=${one.sha256}`, target: "_blank", rel: "noopener"}, one.sha256.slice(0, 12)),
      one.current ? "✓ in use" : "earlier"]), "Calibrations") : "",
  ];
}

export function calmForm(detail, simulated, send) {
  if (detail.calm_can_be_taken === false) {
    return [el("p", {}, "Test pressure or drop are read by eye here, which shows nothing of how the flow fluctuates: there is no calm record to take, and none is missing. A point read by eye is never judged against one.")];
  }
  const direction = choice(DIRECTIONS, "suction");
  const range = choice(names(detail), names(detail)[0]);
  const at = el("input", {value: pressures(detail, [28]), autocomplete: "off"});
  const seconds = el("input", {value: 60, inputmode: "numeric"});
  const plates = (detail.plates ?? []).map((plate) => el("input", {type: "checkbox", value: plate.name, checked: true}));
  return [
    el("ol", {class: "to-do"},
      el("li", {}, "How much this bench fluctuates on plates, where nothing can separate: what a port does beyond that is the port's."),
      el("li", {}, "Take it on several plates, in each direction you use, at your test pressure, on the bench as it stands for tests.")),
    !plates.length ? el("p", {class: "fault"}, "There are no plates yet: write them down under Plates.") :
      form("calm-form", "Calm record", [el("div", {class: "fields"}, labelled("Direction", direction), labelled("Flow element", range), labelled("Test pressures", at), labelled("Seconds a plate", seconds)),
        el("fieldset", {class: "ticks"}, el("legend", {}, "Plates"), plates.map((input) => el("label", {class: "check"}, input, input.value)))],
      "Take the calm record", (more) => send({do: "calm", direction: direction.value, range: range.value, at: at.value, seconds: Number(seconds.value),
        plates: plates.filter((input) => input.checked).map((input) => input.value), ...more}), simulated),
    el("p", {}, detail.calm ? `The calm record in use was taken ${when(detail.calm)}.` : "There is no calm record yet: every verdict says so."),
  ];
}

export function checkForm(detail, simulated, send) {
  const direction = choice(DIRECTIONS, "suction");
  const range = choice(names(detail), names(detail)[0]);
  const plate = choice((detail.plates ?? []).map((one) => one.name), "");
  const at = el("input", {value: pressures(detail, [28]), autocomplete: "off"});
  const remark = el("input", {maxlength: 200, autocomplete: "off"});
  return detail.plates?.length && detail.calibrations?.length ? form("check-form", "Plate check",
    el("div", {class: "fields"}, labelled("Plate", plate, "Always the same one, at the same test pressure."), labelled("Direction", direction),
      labelled("Flow element", range), labelled("Test pressure", at), labelled("Remark", remark)),
    "Check this plate", (more) => send({do: "check", plate: plate.value, direction: direction.value, range: range.value, at: at.value, remark: remark.value, ...more}), simulated)
    : el("p", {}, "A plate can be checked once there are plates and a calibration.");
}

function names(detail) {
  return (detail.ranges ?? []).map((range) => range.name);
}

function smallest(detail) {
  const bored = (detail.ranges ?? []).filter((range) => range.bore_m > 0);
  return bored.sort((a, b) => a.bore_m - b.bore_m)[0]?.name ?? names(detail).at(-1);
}

function pressures(detail, inches) {
  return inches.map((each) => detail.pressure_unit === "inH2O" || !detail.pressure_unit ? `${each} inH2O` : `${Math.round(each * 2.5) / 10} kPa`).join(", ");
}
