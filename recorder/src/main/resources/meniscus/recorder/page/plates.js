// The plates file without a text editor: what each orifice plate of the shop passes.

import {button, el, say, sent} from "./build.js";
import {choice, labelled, textOf} from "./fields.js";

const KINDS = [
  ["certificate", "a certificate for its discharge coefficient"],
  ["flow", "a flow at a test pressure"],
  ["bore", "its bore alone (good to about 1.3 %)"],
];

const FIELDS = {
  certificate: [["bore", "Bore", "44 mm"], ["bore_within", "The bore lies within ±", "0.01 mm"], ["coefficient.value", "Coefficient", "0.611", true],
    ["coefficient.standard_uncertainty", "Its standard uncertainty", "0.25 %"], ["origin", "Laboratory", ""]],
  flow: [["flow", "Flow", "150 cfm"], ["at", "At", "28 inH2O"], ["standard_uncertainty", "Standard uncertainty", "1 %"],
    ["air.temperature", "For air of", "20 degC"], ["air.pressure", "at", "101325 Pa"], ["air.humidity", "and a humidity of", "0 %"], ["origin", "Maker", ""]],
  bore: [["bore", "Bore", "20 mm"], ["bore_within", "The bore lies within ±", "0.02 mm"]],
};

function kindOf(plate) {
  return plate.flow !== undefined ? "flow" : plate.coefficient ? "certificate" : plate.kind ?? "bore";
}

export class PlatesForm {
  constructor(write) {
    this.write = write;
    this.said = el("p", {role: "status", id: "plates-said"});
    this.node = el("form", {class: "card", id: "plates-form", onsubmit: sent(() => this.submit())});
  }

  load(plates) {
    this.draft = structuredClone(plates ?? []).map((plate) => ({kind: kindOf(plate), plate}));
    this.show();
  }

  show() {
    this.node.replaceChildren(
      el("p", {}, "Standard uncertainty is one standard deviation: half of what a certificate states at 95 %."),
      ...this.draft.map((one, i) => this.one(one, i)),
      el("p", {}, button("Add a plate", () => {
        this.draft.push({kind: "certificate", plate: {}});
        this.show();
      }, {id: "add-plate"})),
      this.said, el("button", {type: "submit", class: "keep", id: "plates-write"}, "Write the plates file"));
  }

  one(one, i) {
    const select = choice(KINDS, one.kind, {onchange: () => {
      one.kind = select.value;
      one.plate = {name: one.plate.name ?? ""};
      this.show();
    }});
    return el("fieldset", {class: "plate"}, el("legend", {}, `Plate ${one.plate.name ?? i + 1}`),
      el("div", {class: "fields"}, textOf(one.plate, "name", "Written on it", {needed: true, id: `plate-${i}`}), labelled("What is known", select),
        FIELDS[one.kind].map(([path, label, placeholder, numeric]) => textOf(one.plate, path, label, {placeholder, numeric}))),
      button("Take it out", () => {
        this.draft.splice(i, 1);
        this.show();
      }));
  }

  async submit() {
    this.said.classList.remove("fault");
    try {
      await this.write(this.draft.map((one) => one.plate));
      say(this.said, "The plates file is written");
    } catch (error) {
      this.said.classList.add("fault");
      say(this.said, error.message);
    }
  }
}
