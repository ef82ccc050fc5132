// The ladder of Capture: a rung a lift, with its sign and what was kept.

import {el} from "./build.js";
import {fixed, placesOf, withInterval} from "./numbers.js";
import {SIGNS} from "./parts.js";

export class Ladder {
  constructor() {
    this.node = el("ol", {class: "ladder", "aria-label": "Lifts", tabindex: 0});
  }

  /** @param next number of the rung that is wanted now */
  show(rungs, units, next) {
    this.node.replaceChildren(...rungs.map((rung) => {
      const stands = rung.rung === next ? "next" : rung.stands;
      const flow = rung.point ? withInterval(rung.point.flow, rung.point.flow_u95, units.flow) : "";
      return el("li", {class: stands, "data-rung": rung.rung, title: rung.point ? `${flow} ${units.flow}, ${rung.point.verdict}` : stands},
        el("span", {class: "sign", "aria-hidden": "true"}, SIGNS[stands]),
        el("b", {}, fixed(rung.lift, placesOf(units.lift))), el("span", {class: "unseen"}, ` ${units.lift} ${stands} `),
        el("span", {class: "value"}, rung.point ? fixed(rung.point.flow, placesOf(units.flow)) : ""));
    }));
    this.node.querySelector(".next")?.scrollIntoView?.({block: "nearest", inline: "center"});
  }
}
