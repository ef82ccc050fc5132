// A drawing of the page as a file.

const STYLES = ["fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-linejoin", "opacity", "font-family", "font-size", "text-anchor"];

/** Offers what is at an address for saving. */
export function offer(address, name) {
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
}

/** Offers bytes for saving. */
export function save(blob, name) {
  const address = URL.createObjectURL(blob);
  offer(address, name);
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

/** The drawing with its style written into it, since the file has no style sheet beside it. */
function svgText(svg) {
  const copy = svg.cloneNode(true);
  const from = [svg, ...svg.querySelectorAll("*")];
  [copy, ...copy.querySelectorAll("*")].forEach((node, i) => {
    const style = getComputedStyle(from[i]);
    STYLES.forEach((name) => node.setAttribute(name, style.getPropertyValue(name)));
    node.removeAttribute("class");
  });
  copy.setAttribute("xmlns", "http://www.w3.org/2000/svg");
  const back = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  for (const [name, value] of Object.entries({width: "100%", height: "100%", fill: getComputedStyle(svg.parentElement).backgroundColor})) {
    back.setAttribute(name, value);
  }
  copy.prepend(back);
  return new XMLSerializer().serializeToString(copy);
}

export function saveSvg(svg, name) {
  save(new Blob([svgText(svg)], {type: "image/svg+xml"}), `${name}.svg`);
}
