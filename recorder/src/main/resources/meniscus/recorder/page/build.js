// Builds elements. Texts go in as text, never as markup: a name from an instrument can be anything.

const SVG = "http://www.w3.org/2000/svg";

/** Control and format characters: unseen, and some of them turn the letters around them. */
const UNSEEN = /(?![\n\t])[\p{Cc}\p{Cf}\p{Cs}\p{Cn}\p{Zl}\p{Zp}]/gu;

function plain(text) {
  return typeof text === "string" ? text.replace(UNSEEN, "\ufffd") : text;
}

function fill(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) {
      node.addEventListener(name.slice(2), value);
    } else if (value === true) {
      node.setAttribute(name, "");
    } else if (value !== false && value !== null && value !== undefined) {
      node.setAttribute(name, String(value));
    }
  }
  node.append(...children.flat().filter((child) => child !== null && child !== undefined).map(plain));
  return node;
}

/** An HTML element: el("p", {class: "x"}, "text", child). */
export function el(tag, attributes = {}, ...children) {
  return fill(document.createElement(tag), attributes, children);
}

/** An SVG element. */
export function svg(tag, attributes = {}, ...children) {
  return fill(document.createElementNS(SVG, tag), attributes, children);
}

/** Sets a text only when it changed: nothing is laid out anew for nothing. */
export function say(node, text) {
  const shown = plain(text);
  if (node.textContent !== shown) {
    node.textContent = shown;
  }
}

/** A button that a pointer does not leave focused: the pedal's key must not press it again. */
export function button(text, act, attributes = {}) {
  return el(
    "button",
    {
      type: "button",
      onclick: (event) => {
        if (event.detail > 0) {
          event.currentTarget.blur();
        }
        taken(event.currentTarget, act(event));
      },
      ...attributes,
    },
    text,
  );
}

/** A click that is not answered at once shows that it was taken, and after a second for how long. */
export function taken(node, work) {
  if (!work?.finally) {
    return;
  }
  const from = performance.now();
  const passed = el("span", {class: "passed"});
  const timer = setInterval(() => {
    passed.textContent = `\u2002${Math.round((performance.now() - from) / 1000)}\u2009s`;
    // Nothing is shown inside a field.
    node.matches("input, select") ? node.after(passed) : node.append(passed);
  }, 1000);
  node.setAttribute("aria-busy", "true");
  work.finally(() => {
    clearInterval(timer);
    passed.remove();
    node.removeAttribute("aria-busy");
  }).catch(() => {});
}

/** What a form does when it is sent; the button that sent it shows that it was taken. */
export function sent(act) {
  return (event) => {
    event.preventDefault();
    taken(event.submitter ?? event.currentTarget, act(event));
  };
}

/** What stands in place of something that is on its way, and after a second for how long. */
export function waiting(text, work) {
  const node = el("p", {role: "status"}, text);
  taken(node, work);
  return node;
}

/** A table from header texts and rows of cells. */
export function table(heads, rows, caption) {
  return el(
    "table",
    {tabindex: 0}, // on a narrow screen it is scrolled by itself, by keys too
    caption ? el("caption", {}, caption) : null,
    el("thead", {}, el("tr", {}, heads.map((head) => el("th", {scope: "col"}, head)))),
    el("tbody", {}, rows.map((row) => el("tr", row.attributes ?? {}, (row.cells ?? row).map(
      (cell) => (cell instanceof Node && cell.nodeName === "TH" ? cell : el("td", {}, cell)))))),
  );
}
