// What the air passes on a bench, in its order: the part that is being asked for lights up.

import {svg} from "./build.js";

const WORDS = {room: "room", element: "flow element", head: "head, valve", plenum: "plenum", blower: "blower"};
const ORDER = {
  "blower side": ["room", "head", "plenum", "element", "blower"],
  "room side": ["room", "element", "head", "plenum", "blower"],
};
const WIDTH = 120;
const STEP = 145;

export class BenchPicture {
  constructor() {
    this.node = svg("svg", {class: "bench-picture", viewBox: `0 0 ${5 * STEP} 56`, role: "img"});
    this.lit = "";
  }

  /** @param layout where the flow element stands */
  show(layout) {
    const order = ORDER[layout] ?? ORDER["blower side"];
    this.node.setAttribute("aria-label", `The bench on suction: the air goes from ${order.map((part) => WORDS[part]).join(" to ")}`);
    this.node.replaceChildren(...order.map((part, i) => svg("g", {"data-part": part, transform: `translate(${i * STEP} 0)`},
      svg("rect", {x: 2, y: 8, width: WIDTH, height: 40, rx: part === "room" ? 20 : 4}),
      svg("text", {x: 2 + WIDTH / 2, y: 33, "text-anchor": "middle"}, WORDS[part]),
      i < order.length - 1 ? svg("path", {d: `M${WIDTH + 5} 28 h14 m-6 -5 l6 5 l-6 5`}) : null)));
    this.light(this.lit);
  }

  /** @param part none where what is asked for has no place on it */
  light(part) {
    this.lit = part ?? "";
    for (const group of this.node.children) {
      group.classList.toggle("lit", group.dataset.part === this.lit);
    }
  }
}
