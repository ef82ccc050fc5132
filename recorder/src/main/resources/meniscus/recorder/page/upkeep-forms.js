// The forms that begin zero, leakage, calibration, calm record and plate check. What is usual comes
// from the program: the terminal takes the same.

import {button, el, sent, table} from "./build.js";
import {choice, labelled} from "./fields.js";
import {when} from "./numbers.js";

const DIRECTIONS = ["suction", "blowing"];

function form(id, title, fields, go, act, simulated) {
  const quick = el("input", {type: "checkbox", checked: true, class: "quick"});
  return el("form", {class: "card", id, onsubmit: sent(() => act(simulated && quick.checked ? {quick: true} : {}))},
  fields,
  simulated ? el("label", {class: "check"}, quick, "Simulated time: as fast as it can be worked out") : "",
  el("button", {type: "submit", class: "keep"}, go));
}

export function zeroForm(detail, simulated, send) {
  const seconds = el("input", {value: usual(detail, "zero", "seconds"), inputmode: "numeric", size: 4});
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

export function gaugesForm(detail, simulated, send) {
  if (detail.calm_can_be_taken === false) {
    return [el("p", {}, "A column that is read by eye has no gain that could be wrong. To compare it with another gauge write down what both show on one pressure: meniscus figure gauges.")];
  }
  const range = choice(names(detail), names(detail)[0]);
  const at = el("input", {placeholder: "a fifth, half and four fifths of what both reach", autocomplete: "off"});
  return [
    el("ol", {class: "to-do"},
      el("li", {}, "Plates do not show a wrong gain of a gauge: it makes all of them wrong alike. Two gauges on one pressure show it at once."),
      el("li", {}, "Take both zeros first. Tee both gauges on one hose with a syringe. Blow into none of them: breath overloads a gauge."),
      el("li", {}, "Bring it to each pressure that is asked for, about, and let it stand still.")),
    form("gauges-form", "Both gauges on one pressure", el("div", {class: "fields"}, labelled("Drop gauge of flow element", range), labelled("Pressures, three or more", at)),
      "Compare them", (more) => send({do: "gauges", range: range.value, ...(at.value ? {at: at.value} : {}), ...more}), simulated),
  ];
}

export function leakageForm(detail, simulated, send) {
  const direction = choice(DIRECTIONS, "suction");
  const range = choice(names(detail), usual(detail, "leakage", "range"));
  const setUp = el("input", {value: usual(detail, "leakage", "set_up"), maxlength: 100});
  const at = el("input", {value: usual(detail, "leakage", "at"), autocomplete: "off"});
  const limit = el("input", {value: usual(detail, "leakage", "limit"), autocomplete: "off"});
  const decay = el("input", {type: "checkbox"});
  const seconds = el("input", {value: usual(detail, "leakage", "seconds"), inputmode: "numeric", size: 4});
  return [
    el("ol", {class: "to-do"},
      el("li", {}, "Close the hole where the head stands; or with the head on: valves shut, other openings plugged, and say so below."),
      el("li", {}, "Switch to the smallest flow element."),
      el("li", {}, "Blower on. The program reads at each test pressure, lowest first: set it and hold it.")),
    form("leakage-form", "Leakage", [el("div", {class: "fields"}, labelled("Direction", direction), labelled("Flow element", range),
      labelled("What is mounted", setUp), labelled("Test pressures", at), labelled("Largest leak to accept", limit, "1 cfm is common practice, no source."), labelled("Seconds to watch a fall", seconds)),
      el("label", {class: "check"}, decay, "From the fall of the pressure, the blower valved off (needs the plenum's volume)")],
    "Measure the leakage", (more) => send({do: "leakage", direction: direction.value, range: range.value, set_up: setUp.value, at: at.value, limit: limit.value, seconds: Number(seconds.value), decay: decay.checked, ...more}), simulated),
    detail.leakages?.length ? table(["Direction", "Mounted", "Leak", "Taken"], detail.leakages.map((one) => [one.direction, one.set_up, one.flow, when(one.at)]), "Leaks measured") : "",
  ];
}

export function calibrationForm(detail, simulated, send) {
  const direction = choice(DIRECTIONS, "suction");
  const range = choice(names(detail), names(detail)[0]);
  const at = el("input", {value: usual(detail, "calibrate", "at"), autocomplete: "off"});
  const target = el("input", {value: usual(detail, "calibrate", "target"), autocomplete: "off", size: 6});
  const plates = (detail.plates ?? []).map((plate) => el("input", {type: "checkbox", value: plate.name, checked: true}));
  return [
    el("ol", {class: "to-do"},
      el("li", {}, "Zero and leakage first."),
      el("li", {}, "The program asks for one plate after the other, sizes in turn, and for the first one again at the end: so a drift shows. The sharp edge meets the air; the bevel looks downstream."),
      el("li", {}, "At each plate hold each test pressure until it is read. Suction and blowing, and each flow element, are calibrated apart.")),
    !plates.length ? el("p", {class: "fault"}, "There are no plates yet: write them down under Plates.") :
      form("calibration-form", "Calibration", [el("div", {class: "fields"}, labelled("Direction", direction), labelled("Flow element", range), labelled("Test pressures", at), labelled("Each mean known to", target)),
        el("fieldset", {class: "ticks"}, el("legend", {}, "Plates"), plates.map((input) => el("label", {class: "check"}, input, input.value)))],
      "Calibrate", (more) => send({do: "calibrate", direction: direction.value, range: range.value, at: at.value, target: target.value,
        plates: plates.filter((input) => input.checked).map((input) => input.value), ...more}), simulated),
    detail.calibrations?.length ? table(["Direction", "Flow element", "Taken", "Version", ""], detail.calibrations.map((one) => [
      one.direction, one.range, when(one.at), el("a", {href: `/calibration?sha256=${one.sha256}`, target: "_blank", rel: "noopener"}, one.sha256.slice(0, 12)),
      one.in_use === false ? notInUse(one, send) : one.current ? (one.why ? `▲ in use against advice: ${one.why}` : "✓ in use") : "earlier"]), "Calibrations") : "",
  ];
}

export function calmForm(detail, simulated, send) {
  if (detail.calm_can_be_taken === false) {
    return [el("p", {}, "Test pressure or drop are read by eye here, which shows nothing of how the flow fluctuates: there is no calm record to take, and none is missing. A point read by eye is never judged against one.")];
  }
  const direction = choice(DIRECTIONS, "suction");
  const range = choice(names(detail), names(detail)[0]);
  const at = el("input", {value: usual(detail, "calm", "at"), autocomplete: "off"});
  const seconds = el("input", {value: usual(detail, "calm", "seconds"), inputmode: "numeric"});
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

export function repeatForm(detail, plans, simulated, send) {
  const usable = plans.filter((plan) => !plan.why).map((plan) => plan.name);
  const plan = choice(usable, usable[0]);
  const fittings = el("input", {value: usual(detail, "repeat", "fittings"), inputmode: "numeric", size: 4});
  const known = detail.repeatability_from ?? [];
  return [
    el("ol", {class: "to-do"},
      el("li", {}, "How far two tests of one unchanged head differ on this bench. Without it one test before and one after a change decide nothing."),
      el("li", {}, "Take the head off with everything around it and put it back, as often as asked; four lifts each time. What it costs and buys is said first."),
      el("li", {}, "A break loses nothing: begin again to go on. Tests that you took of one head in any case feed it at the terminal: meniscus repeat --from.")),
    usable.length ? form("repeat-form", "Repeatability", el("div", {class: "fields"}, labelled("Plan of your tests", plan), labelled("Fittings", fittings)),
      "Begin", (more) => send({do: "repeat", plan: plan.value, fittings: Number(fittings.value), ...more}), simulated)
      : el("p", {class: "fault"}, "There is no plan yet: write one under Plan."),
    known.length ? table(["Head", "Fittings", "Learned"], known.map((one) => [one.head, one.tests.length, when(one.at)]), "Repeats that count") : "",
    detail.repeatability && !known.length ? el("p", {}, "The repeatability was learned before its repeats were listed.") : "",
  ];
}

export function checkForm(detail, simulated, send) {
  const direction = choice(DIRECTIONS, "suction");
  const range = choice(names(detail), names(detail)[0]);
  const plate = choice([["", "the one whose check sees most"], ...(detail.plates ?? []).map((one) => [one.name, one.name])], "");
  const at = el("input", {value: usual(detail, "check", "at"), autocomplete: "off"});
  const remark = el("input", {maxlength: 200, autocomplete: "off"});
  return detail.plates?.length && detail.calibrations?.length ? form("check-form", "Plate check",
    el("div", {class: "fields"}, labelled("Plate", plate, "Always the same one, at the same test pressure."), labelled("Direction", direction),
      labelled("Flow element", range), labelled("Test pressure", at), labelled("Remark", remark)),
    "Check this plate", (more) => send({do: "check", ...(plate.value ? {plate: plate.value} : {}), direction: direction.value, range: range.value, at: at.value, remark: remark.value, ...more}), simulated)
    : el("p", {}, "A plate can be checked once there are plates and a calibration.");
}

function names(detail) {
  return (detail.ranges ?? []).map((range) => range.name);
}

/** A calibration that is kept aside: why, and what whoever wants it says in writing. */
function notInUse(one, send) {
  const why = el("input", {maxlength: 200, autocomplete: "off", "aria-label": "Why it is to be used all the same"});
  return el("span", {class: "doubt"}, `▲ not in use: ${one.why}. `, el("details", {}, el("summary", {}, "Use it all the same"),
    labelled("Because", why), button("Use it", () => send({do: "use", calibration: one.sha256, use_anyway: why.value}))));
}

/** What is usual, as the terminal takes it. */
function usual(detail, task, option) {
  return detail.usual?.[task]?.[option] ?? "";
}
