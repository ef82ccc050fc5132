// Parts of forms that are bound to members of a JSON file: what is typed stands in the draft at
// once. Quantities stay text with their unit; the program reads them, not the page.

import {el} from "./build.js";

let number = 0;

/** The member of an object at a path: "site.altitude". */
export function at(object, path) {
  return path.split(".").reduce((node, name) => node?.[name], object);
}

/** Sets a member at a path; nothing given takes it out, and what is then empty with it. */
export function put(object, path, value) {
  const [name, ...rest] = path.split(".");
  if (!rest.length) {
    value === "" || value === null || value === undefined ? delete object[name] : object[name] = value;
    return;
  }
  const inner = object[name] ??= {};
  put(inner, rest.join("."), value);
  if (!Array.isArray(inner) && !Object.keys(inner).length) {
    delete object[name];
  }
}

/** A label over an input, with what to write under it. */
export function labelled(label, input, hint) {
  input.id ||= `field-${++number}`;
  return el("div", {class: "field"}, el("label", {for: input.id}, label), input, hint ? el("p", {class: "hint"}, hint) : null);
}

/** A select from [value, text] pairs or plain words. */
export function choice(options, value, attributes = {}) {
  const node = el("select", attributes, options.map((option) => {
    const [key, text] = Array.isArray(option) ? option : [option, option];
    return el("option", {value: key, selected: key === value}, text);
  }));
  return node;
}

/** A text input for one member of the draft; renamed is told what stood there before. */
export function textOf(draft, path, label, {hint, placeholder, needed, id, numeric, renamed} = {}) {
  let old = at(draft, path);
  const input = el("input", {
    autocomplete: "off", placeholder: placeholder ? `e.g. ${placeholder}` : null, required: Boolean(needed), id, value: at(draft, path) ?? "",
    inputmode: numeric ? "decimal" : null,
    oninput: () => {
      put(draft, path, numeric && input.value.trim() ? Number(input.value) : input.value.trim());
      renamed?.(old);
      old = at(draft, path);
    },
  });
  return labelled(label, input, hint);
}

/** A choice for one member of the draft; the first option is what is taken when nothing is said. */
export function choiceOf(draft, path, label, options, {hint, id, onchange} = {}) {
  const first = Array.isArray(options[0]) ? options[0][0] : options[0];
  const input = choice(options, at(draft, path) ?? first, {id, onchange: () => {
    put(draft, path, input.value);
    onchange?.();
  }});
  if (at(draft, path) === undefined && first !== "") {
    put(draft, path, first);
  }
  return labelled(label, input, hint);
}

/** A box to tick for one member of the draft. */
export function tickOf(draft, path, label) {
  const input = el("input", {type: "checkbox", checked: Boolean(at(draft, path)), onchange: () => put(draft, path, input.checked || null)});
  return el("label", {class: "check"}, input, label);
}
