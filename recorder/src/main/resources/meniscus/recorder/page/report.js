// The report before it is printed: as it will stand on paper.

import {button, el} from "./build.js";

/** @param parameters as of /report */
export function reportPage(parameters) {
  const address = `/report?${parameters}`;
  const frame = el("iframe", {class: "paper", src: address, title: "Report as it will be printed"});
  return el("div", {class: "page report"}, el("h1", {}, "Report"),
    el("p", {class: "line"},
      button("Print", () => frame.contentWindow.print(), {class: "keep", id: "print"}),
      el("a", {href: address, target: "_blank", rel: "noopener"}, "Open it by itself")),
    frame);
}
