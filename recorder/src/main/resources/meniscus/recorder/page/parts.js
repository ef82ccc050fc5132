// Shapes and words of verdicts and rungs: each has a colour, a shape and a word.

import {svg} from "./build.js";

const SHAPES = {
  steady: [["circle", {cx: 50, cy: 50, r: 40}]],
  drifting: [["path", {d: "M12 84 L70 26 M38 20 H78 V60", class: "stroke"}]],
  rough: [["path", {d: "M6 42 Q17 20 28 42 T50 42 T72 42 T94 42 M6 66 Q17 44 28 66 T50 66 T72 66 T94 66", class: "stroke thin"}]],
  unsteady: [["path", {d: "M6 50 Q17 5 28 50 T50 50 T72 50 T94 50", class: "stroke"}]],
  switching: [["path", {d: "M4 76 H27 V24 H50 V76 H73 V24 H96", class: "stroke"}]],
  faulty: [["path", {d: "M50 6 L96 92 H4 Z"}], ["path", {d: "M50 36 V62 M50 74 V82", class: "cut"}]],
  brief: [
    ["circle", {cx: 18, cy: 50, r: 11}],
    ["circle", {cx: 50, cy: 50, r: 11}],
    ["circle", {cx: 82, cy: 50, r: 11}],
  ],
  "by eye": [
    ["path", {d: "M6 50 Q50 6 94 50 Q50 94 6 50 Z", class: "stroke"}],
    ["circle", {cx: 50, cy: 50, r: 14}],
  ],
  waiting: [["circle", {cx: 50, cy: 50, r: 36, class: "stroke"}]],
  off: [["circle", {cx: 50, cy: 50, r: 36, class: "stroke"}], ["path", {d: "M24 76 L76 24", class: "stroke"}]],
  done: [["path", {d: "M12 54 L40 82 L90 18", class: "stroke"}]],
};

/** The shape that goes with a verdict. */
export function shape(name) {
  return svg(
    "svg",
    {viewBox: "0 0 100 100", class: "shape", "aria-hidden": "true"},
    (SHAPES[name] ?? SHAPES.waiting).map(([tag, attributes]) => svg(tag, attributes)),
  );
}

/** How a rung of the ladder stands: sign before the word. */
export const SIGNS = {kept: "✓", doubtful: "?", skipped: "–", open: "○", next: "▶"};
