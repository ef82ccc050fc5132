// The report before it is printed: as it will stand on paper.

import {button, el, waiting} from "./build.js";
import {labelled} from "./fields.js";
import {ask} from "./live.js";

/** @param parameters as of /report */
export function reportPage(parameters) {
  const address = `/report?${parameters}`;
  const frame = el("iframe", {class: "paper", src: address, title: "Report as it will be printed"});
  const loaded = new Promise((done) => frame.addEventListener("load", done));
  const onItsWay = waiting("Working it out…", loaded);
  loaded.then(() => {
    onItsWay.remove();
    if (frame.contentDocument?.contentType !== "text/html") { // refused: why, in words
      ask(address).catch((error) => frame.replaceWith(el("p", {class: "fault", role: "alert"}, error.message)));
    }
  });
  return el("div", {class: "page report"}, el("h1", {}, {history: "History", head: "Head sheet"}[parameters.get("sheet")] ?? "Report"),
    el("div", {class: "line"},
      button("Print", () => frame.contentWindow.print(), {class: "keep", id: "print"}),
      el("a", {href: address, target: "_blank", rel: "noopener"}, "Open it by itself"), onItsWay),
    parameters.get("sheet") === "history" ? aims(parameters) : "",
    frame);
}

/** What the ports are to reach, and what is planned: as the command's --aim, --target and --series. */
function aims(parameters) {
  const field = (name, hint) => el("input", {id: name, value: parameters.getAll(name).join("; "), autocomplete: "off", placeholder: hint});
  const fields = {aim: field("aim", "e.g. 245 cfm at 0.600 in; 150 cfm at 0.300 in"), target: field("target", "e.g. wanted.json"), series: field("series", "e.g. series.json")};
  return el("form", {class: "line aims", onsubmit: (event) => {
    event.preventDefault();
    const next = new URLSearchParams({test: parameters.get("test"), sheet: "history"});
    for (const [name, input] of Object.entries(fields)) {
      input.value.split(";").map((part) => part.trim()).filter(Boolean).forEach((part) => next.append(name, part));
    }
    location.hash = `report/${next}`;
  }}, labelled("Flows to reach", fields.aim), labelled("Curve to reach, a file", fields.target), labelled("States that are planned, a file", fields.series),
  el("button", {type: "submit", id: "aims-show"}, "Show"));
}
