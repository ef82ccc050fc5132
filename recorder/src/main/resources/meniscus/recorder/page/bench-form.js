// The bench file without a text editor: instruments, what each gauge is used for, flow elements.

import {BenchPicture} from "./bench-picture.js";
import {button, el, say, sent} from "./build.js";
import {choice, choiceOf, labelled, put, textOf, tickOf} from "./fields.js";

/** What a channel can be used for: name in the file, words, quantity, where on the bench, whether it must be there. */
const USES = [
  ["test_pressure", "Test pressure: across the port, plenum against room", "pressure", "plenum", true],
  ["lift", "Valve lift", "length", "head", false],
  ["room_temperature", "Air temperature in the room", "temperature", "room", true],
  ["room_pressure", "Air pressure in the room", "pressure", "room", true],
  ["room_humidity", "Relative humidity in the room", "ratio", "room", false],
  ["plenum_temperature", "Air temperature in the plenum (matters on blowing)", "temperature", "plenum", false],
  ["element_temperature", "Air temperature before the flow element", "temperature", "element", false],
  ["fluctuation", "Fast pressure near the short side (1 to 5 kHz)", "pressure", "head", false],
  ["fluctuation_on_bench", "Fast pressure that stays on the bench with a plate mounted", "pressure", "plenum", false],
  ["probe", "Pitot probe", "pressure", "head", false],
];

/** The form in short steps, one open at a time. */
const STEPS = ["The bench", "Instruments", "What each gauge reads", "Flow elements"];

/** Marks what a field or a group of them asks of the bench. */
function asks(part, node) {
  node.dataset.part = part;
  return node;
}

/** What a line needs: member, words, whether it is a number. */
const LINES = {
  serial: [["port", "Port"], ["baud", "Speed, if not as in the sheet", true]],
  tcp: [["host", "Address"], ["port", "Port number", true]],
  playback: [["file", "Recording"]],
  simulated: [["instrument", "Instrument of the simulated bench"]],
};

const ELEMENTS = [
  ["orifice", "orifice: a sharp-edged plate"],
  ["nozzle", "nozzle: a smooth bell"],
  ["linear", "linear: a laminar element"],
];

const ELEMENT_FIELDS = {
  orifice: [["bore", "Bore", "60 mm"], ["bore_within", "The bore lies within ±", "0.05 mm"],
    ["pipe.diameter", "Inside diameter of its pipe; empty between two boxes", ""], ["pipe.tapping", "Tapping: corner, flange or radius", ""],
    ["coefficient.value", "Stated discharge coefficient, if there is one", "0.603", true],
    ["coefficient.standard_uncertainty", "Its standard uncertainty", "0.5 %"]],
  nozzle: [["throat", "Throat", "60 mm"], ["coefficient.value", "Discharge coefficient", "0.985", true],
    ["coefficient.standard_uncertainty", "Its standard uncertainty", "0.5 %"]],
  linear: [["flow", "Flow its maker states", "20 L/s"], ["drop", "at a drop of", "1 kPa"],
    ["stated_for.temperature", "for air of", "20 degC"], ["stated_for.pressure", "at", "1013.25 hPa"],
    ["standard_uncertainty", "Standard uncertainty", "0.4 %"]],
};

export class BenchForm {
  /** @param write what to do with a finished bench and the reason of a new epoch */
  constructor(write) {
    this.write = write;
    this.said = el("p", {role: "status", id: "bench-said"});
    this.picture = new BenchPicture();
    this.node = el("form", {class: "card", id: "bench-form", onsubmit: sent(() => this.submit()),
      onfocusin: (event) => this.picture.light(event.target.closest("[data-part]")?.dataset.part)});
    this.node.addEventListener("invalid", (event) => this.missing(event), true);
    this.opened = 0;
  }

  /** @param bench members of the file, or null for a new one; found: sheets and lines */
  load(bench, found, isNew = !bench) {
    this.found = found;
    this.isNew = isNew;
    this.draft = structuredClone(bench ?? {meniscus: "bench/1", name: "", instruments: [], channels: {}, ranges: []});
    this.epoch = "";
    this.show();
  }

  /** A new bench begins with this, unless somebody has begun to describe one meanwhile. */
  begin(bench, found) {
    if (this.isNew && !this.draft.name && !this.draft.instruments.length) {
      this.load(bench, found, true);
    }
  }

  show() {
    const draft = this.draft;
    const again = () => this.show();
    const kept = document.activeElement?.id;
    this.node.replaceChildren(
      this.picture.node,
      this.step(0,
        el("div", {class: "fields"},
          textOf(draft, "name", "Name", {needed: true, id: "bench-name"}),
          choiceOf(draft, "units", "You read and write in", [["inch", "inches, cfm, inH2O"], ["metric", "mm, L/s, Pa"]]),
          asks("element", choiceOf(draft, "layout", "The flow element stands", [["blower side", "between plenum and blower"], ["room side", "on the room's side of the head"]],
            {hint: "Taking one for the other is 3.6 % of flow at 28 inH2O.", onchange: () => this.picture.show(draft.layout)})),
          asks("plenum", textOf(draft, "plenum.volume", "Volume between head and element", {placeholder: "9.5 ft3", hint: "Empty when not known."})),
          asks("plenum", textOf(draft, "plenum.standard_uncertainty", "How well that is known", {placeholder: "1 ft3"})),
          asks("room", textOf(draft, "site.altitude", "Height above the sea", {placeholder: "620 ft"})),
          asks("room", choiceOf(draft, "site.barometer", "The barometer tells the pressure", [["station", "here"], ["sea_level", "reduced to sea level"]])),
          asks("blower", this.mains()))),
      this.step(1,
        ...draft.instruments.map((one, i) => this.instrument(one, i)),
        el("p", {}, button("Add an instrument", () => {
          draft.instruments.push({id: "", sheet: this.found.sheets[0]?.name ?? ""});
          again();
        }, {id: "add-instrument"}))),
      this.step(2, this.uses = el("div", {})),
      this.step(3,
        this.ranges = asks("element", el("div", {})),
        el("p", {}, button("Add a flow element", () => {
          draft.ranges.push({name: "", element: {kind: "orifice"}, drop: {}});
          again();
        }, {id: "add-range"}))),
      this.isNew ? "" : labelled("Since the file was last written the bench", choice(
        [["", "is the same: only its description changes"], ["gauge changed", "got another gauge"], ["moved", "was moved"], ["repaired", "was repaired"]],
        this.epoch, {id: "bench-epoch", onchange: (event) => this.epoch = event.target.value}),
        "After a change zero, leakage, plate check and calm record are asked for again."),
      this.said,
      el("button", {type: "submit", class: "keep", id: "bench-write"}, "Write the bench file"));
    this.picture.show(draft.layout);
    this.showSources();
    if (kept) {
      document.getElementById(kept)?.focus();
    }
  }

  /** One step; where another comes after it, a button leads there. */
  step(number, ...content) {
    const next = STEPS[number + 1];
    return el("details", {class: "fold", name: "bench-step", open: number === this.opened, ontoggle: (event) => {
      if (event.target.open) {
        this.opened = number;
      }
    }}, el("summary", {}, `${number + 1} of ${STEPS.length}: ${STEPS[number]}`), ...content,
      next ? el("p", {}, button(`Next: ${next}`, () => this.openStep(number + 1), {id: `bench-next-${number + 1}`})) : null);
  }

  openStep(number) {
    const steps = [...this.node.querySelectorAll("details.fold")];
    steps.forEach((one, i) => one.open = i === number);
    this.opened = number;
    steps[number].querySelector("summary").focus();
  }

  /** A field that must be filled in is shown before the browser points at it. */
  missing(event) {
    const step = event.target.closest("details.fold");
    const first = this.node.querySelector(":invalid:not(fieldset)");
    if (step && first === event.target) {
      step.open = true;
    }
  }

  showSources() {
    this.uses.replaceChildren(...USES.map((use) => this.use(use)));
    this.ranges.replaceChildren(...this.draft.ranges.map((one, i) => this.range(one, i)));
  }

  mains() {
    const input = choice([["50", "50 Hz"], ["60", "60 Hz"]], String(this.draft.site?.mains_hz ?? 60),
      {onchange: () => put(this.draft, "site.mains_hz", Number(input.value))});
    put(this.draft, "site.mains_hz", Number(input.value));
    return labelled("Mains", input, "The hum to look for in readings.");
  }

  // ------------------------------------------------------------------ instruments

  instrument(one, i) {
    const sheet = this.sheet(one.sheet);
    const kind = one.line?.kind ?? "";
    const kinds = [["", sheet?.line ? `as in the sheet: ${sheet.line}` : "as in the sheet"], ...this.found.kinds];
    const ports = `ports-${i}`;
    const fields = LINES[kind || sheet?.line] ?? [];
    return el("fieldset", {class: "instrument"}, el("legend", {}, one.id || `Instrument ${i + 1}`),
      el("div", {class: "fields"},
        textOf(one, "id", "Short name", {needed: true, placeholder: "manometer", id: `instrument-${i}`, renamed: (old) => this.renamed(old, one.id)}),
        choiceOf(one, "sheet", "Instrument sheet", this.found.sheets.map((each) => each.name), {onchange: () => this.show()}),
        labelled("Line", choice(kinds, kind, {onchange: (event) => {
          const chosen = event.target.value;
          delete one.line;
          if (chosen) {
            one.line = {kind: chosen};
          }
          this.show();
        }})),
        fields.map(([name, label, numeric]) => {
          const field = textOf(one, `line.${name}`, label, {numeric});
          if (name === "port" && !numeric) {
            field.querySelector("input").setAttribute("list", ports);
            field.append(el("datalist", {id: ports}, this.found.lines.map((line) => el("option", {value: line.port}, line.description))));
          }
          return field;
        })),
      el("p", {class: "hint"}, sheet ? `It gives: ${sheet.channels.map((each) => `${each.name} in ${each.unit}`).join(", ")}` : "Choose a sheet."),
      button("Take it out", () => {
        this.draft.instruments.splice(i, 1);
        this.show();
      }));
  }

  /** An instrument has another name: what is read from it goes along. */
  renamed(old, now) {
    for (const source of [...Object.values(this.draft.channels), ...this.draft.ranges.map((range) => range.drop)]) {
      if (source.instrument === old) {
        source.instrument = now ?? "";
      }
    }
    this.showSources();
  }

  sheet(name) {
    return this.found.sheets.find((each) => each.name === name);
  }

  /** [instrument.channel, words] of every channel that reads this quantity. */
  channels(quantity) {
    return this.draft.instruments.flatMap((one) => (this.sheet(one.sheet)?.channels ?? [])
      .filter((channel) => channel.quantity === quantity)
      .map((channel) => [`${one.id}.${channel.name}`, `${one.id}: ${channel.name}, ${channel.unit}`]));
  }

  // ------------------------------------------------------------------ uses

  use([name, words, quantity, part, needed]) {
    const {channels} = this.draft;
    const source = channels[name];
    const chosen = !source ? "" : source.instrument !== undefined ? `${source.instrument}.${source.channel}` : "typed";
    const options = [["", needed ? "choose" : "not on this bench"], ...this.channels(quantity)];
    if (name !== "test_pressure" && name !== "lift") {
      options.push(["typed", "typed in by hand"]);
    }
    const select = choice(options, chosen, {id: `use-${name}`, onchange: () => {
      setSource(channels, name, select.value);
      this.show();
    }});
    return asks(part, el("fieldset", {class: "use"}, el("legend", {}, words),
      el("div", {class: "fields"}, labelled("Read from", select),
        chosen === "typed" ? [textOf(source, "typed", "Value", {needed: true}), textOf(source, "within", "Within ±", {needed: true})]
          : source ? gauge(source) : "")));
  }

  range(one, i) {
    const known = ELEMENTS.some(([kind]) => kind === one.element.kind);
    const drop = one.drop.instrument === undefined ? "" : `${one.drop.instrument}.${one.drop.channel}`;
    const select = choice([["", "choose"], ...this.channels("pressure")], drop, {id: `drop-${i}`, onchange: () => {
      setSource(one, "drop", select.value);
      one.drop ??= {};
      this.show();
    }});
    return el("fieldset", {class: "range"}, el("legend", {}, one.name || `Flow element ${i + 1}`),
      el("div", {class: "fields"},
        textOf(one, "name", "Name on it", {needed: true, placeholder: "large", id: `range-${i}`}),
        known ? choiceOf(one, "element.kind", "Kind", ELEMENTS, {onchange: () => {
          one.element = {kind: one.element.kind};
          this.show();
        }}) : el("p", {}, `${one.element.kind}, as in the file`),
        known ? ELEMENT_FIELDS[one.element.kind].map(([path, label, placeholder, numeric]) => textOf(one.element, path, label, {placeholder, numeric})) : "",
        labelled("The drop over it is read from", select),
        drop ? gauge(one.drop) : ""),
      button("Take it out", () => {
        this.draft.ranges.splice(i, 1);
        this.show();
      }));
  }

  // ------------------------------------------------------------------ writing

  async submit() {
    this.said.classList.remove("fault");
    try {
      await this.write(this.draft, this.epoch);
      say(this.said, "The bench file is written");
    } catch (error) {
      this.said.classList.add("fault");
      say(this.said, error.message);
    }
  }
}

function setSource(object, name, chosen) {
  if (!chosen) {
    delete object[name];
  } else if (chosen === "typed") {
    object[name] = {typed: "", within: ""};
  } else {
    const [instrument, channel] = chosen.split(".");
    object[name] = {...(object[name]?.low ? object[name] : {}), instrument, channel};
  }
}

function gauge(source) {
  return [
    textOf(source, "low", "Lowest it can show", {needed: true, placeholder: "-40 inH2O"}),
    textOf(source, "high", "Highest it can show", {needed: true, placeholder: "40 inH2O"}),
    textOf(source, "accuracy.of_reading", "Limit, of the reading", {placeholder: "0.25 %"}),
    textOf(source, "accuracy.absolute", "Limit, fixed", {needed: true, placeholder: "0.02 inH2O"}),
    textOf(source, "accuracy.quantum", "Smallest step", {placeholder: "0.001 inH2O"}),
    textOf(source, "mean", "Moving mean of the gauge", {placeholder: "1 s"}),
    textOf(source, "lag", "Lag of gauge and hose", {placeholder: "0.04 s"}),
    tickOf(source, "inverted", "Counts the other way"),
  ];
}
