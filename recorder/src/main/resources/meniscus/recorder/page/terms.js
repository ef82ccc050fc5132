// Words of the trade and our own, explained where they stand: a small "?" opens a drawing and two
// sentences.

import {el, svg} from "./build.js";

/** By key: what it is called, what it is, and the page of the handbook that says more. */
const TERMS = {
  bench: ["the bench file", "What your bench is made of: instruments, which gauge reads what, and the part that measures flow. Everything else is worked out from it.", "bench-file.md"],
  readings: ["a reading", "What every gauge sends at this moment. Suck gently at a hose: the gauge that moves, and the way it moves, shows whether hoses and signs are right.", "bench-set-up.md"],
  zero: ["the zero", "What a gauge shows with nothing on it, blower off. It is taken off every later reading; take it anew when the room's temperature has changed.", "calibration.md"],
  gauges: ["both gauges on one pressure", "The gauge across the port and the one across the flow element, joined by a tee. What they differ by is known from then on, and no longer widens every flow.", "calibration.md"],
  leakage: ["leakage", "Air that gets in beside the port and is counted as flow. It is measured with the head closed off, and taken off every flow.", "calibration.md"],
  plates: ["a plate", "A sheet with one sharp-edged hole of a known diameter, whose flow is known from a standard. It tells whether the bench tells the truth.", "calibration.md"],
  calibration: ["the calibration", "The bench's own flow element is read against plates of known flow; from then on each flow is corrected, and its uncertainty is known.", "calibration.md"],
  calm: ["a calm record", "How much the flow fluctuates on a plate, where the air is calm: what the bench itself does. A port's air is held against it.", "averaging.md"],
  health: ["bench health", "Checks of a plate, of zeros and of leakage over time. A check outside its limits means: find out why before the next head.", "calibration.md"],
  plan: ["a plan", "Which head and port, which lifts, which test pressure. Take the same plan before and after a change, so that the two can be compared.", "plan-file.md"],
  repeat: ["repeatability", "How well the bench gives the same flow again when the same head was taken off and put back. Without it one test a side decides nothing.", "comparing.md"],
};

/** By key, in 160 by 64: what is there, and what it is about. */
const DRAWINGS = {
  bench: ["M4 20h32v24h-32z M48 20h32v24h-32z M92 20h32v24h-32z", "M36 32h12 M80 32h12 M124 32h28m-8-6l8 6l-8 6"],
  readings: ["M40 54a32 32 0 0 1 64 0z M104 54h44 M46 36l5 4 M72 22v6 M98 36l-5 4", "M72 54l18-24"],
  zero: ["M58 4v36a22 20 0 0 0 44 0v-36 M42 24h76", "M58 24v16a22 20 0 0 0 44 0v-16"],
  gauges: ["M20 26a18 18 0 1 0 36 0a18 18 0 1 0-36 0 M104 26a18 18 0 1 0 36 0a18 18 0 1 0-36 0 M38 44v12h84v-12 M80 56v8", "M38 26l9-11 M122 26l9-11"],
  leakage: ["M56 18h60v42h-60z M48 12h76", "M8 40h48m-10-7l10 7l-10 7"],
  plates: ["M20 4h120 M20 60h120 M80 4v18 M80 60v-18", "M24 18q36 0 56 8q24 8 56 6 M24 46q36 0 56-8q24-8 56-6"],
  calibration: ["M16 4v54h132 M24 50l116-36", "M44 36v16 M72 27v16 M100 18v16 M128 9v16"],
  calm: ["M8 16l8-12l8 22l8-20l8 18l8-24l8 22l8-16l8 14l8-18l8 20l8-16l8 18l8-22l8 20l8-10", "M8 50q4-5 8 0t8 0t8 0t8 0t8 0t8 0t8 0t8 0t8 0t8 0t8 0t8 0t8 0t8 0t8 0t8 0t8 0"],
  health: ["M12 12h136 M12 32h136 M12 52h136", "M18 34l24-6l24 9l24-12l24 8l26-28"],
  plan: ["M20 10h64 M20 26h64 M20 42h64 M20 58h64", "M98 8l6 6l14-12 M98 24l6 6l14-12"],
  repeat: ["M12 58q40-44 136-50", "M12 60q44-42 136-44"],
};

function drawing(key) {
  const [there, about] = DRAWINGS[key];
  return svg("svg", {class: "term-drawing", viewBox: "0 0 160 64", "aria-hidden": "true"}, svg("path", {d: there}), svg("path", {class: "about", d: about}));
}

/** A "?" that opens what a word means. */
export function term(key) {
  const [what, says, page] = TERMS[key];
  return el("details", {class: "term"}, el("summary", {"aria-label": `What is ${what}?`}, "?"),
    drawing(key), el("p", {}, `${says} `, el("a", {href: `/docs/${page}`, target: "_blank", rel: "noopener"}, "More")));
}
