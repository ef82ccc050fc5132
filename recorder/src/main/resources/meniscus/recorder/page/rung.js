// What one lift was read from: its flow, and the readings as they came in, to look into.

import {el, waiting} from "./build.js";
import {chart} from "./chart.js";
import {ask} from "./live.js";
import {fixed, placesOf} from "./numbers.js";

/** Fetched when it is first looked at. */
export function openRung(node, test, point) {
  if (!node.open || node.querySelector(".raw")) {
    return;
  }
  const box = el("div", {class: "raw"});
  node.append(box);
  box.append(waiting("Reading…", fill(box, test, point)));
}

async function fill(box, test, point) {
  const fetched = (span) => ask(`/api/rung?${new URLSearchParams({name: test.name, rung: point.rung, ...span})}`);
  try {
    const {channels} = await fetched({});
    box.replaceChildren(
      point.levels ? el("p", {class: "levels"}, said(point.levels, test.units)) : "",
      ...channels.filter((channel) => channel.at.length > 1).map((channel) => shown(channel, test, point, fetched)));
  } catch (error) {
    box.replaceChildren(el("p", {class: "fault"}, error.message));
  }
}

function said({low, high, share_high: share}, {flow}) {
  return `Two levels: ${fixed(low, placesOf(flow))} and ${fixed(high, placesOf(flow))} ${flow}; ${Math.round(100 * share)} % of the time at the upper one.`;
}

function shown(channel, test, point, fetched) {
  const flow = channel.name === "flow";
  const levels = flow && point.levels ? [["lower level", point.levels.low], ["upper level", point.levels.high]] : [];
  const name = `${test.name.replaceAll("/", "-")}-${point.rung}-${channel.name}`;
  return el("figure", {class: flow ? "of-flow" : ""},
    el("figcaption", {}, flow ? `Flow, ${channel.unit}: ${channel.readings} samples` : `${channel.name}, ${channel.unit}, as read: ${channel.readings} readings`),
    trace(channel, levels, name, fetched), levels.length ? histogram(channel, levels, `${name}-often`) : "");
}

/** From lowest to highest of each piece; a closer look is fetched finer. */
function trace(channel, levels, name, fetched) {
  const data = ({at, low, high}) => ({x: at, series: [{values: low, look: "band"}, {values: high, look: "band"}]});
  const places = placesOf(channel.unit) + 1;
  return chart({
    ...data(channel), name, height: 230, along: "s", hint: "Draw across it to look closer.",
    spoken: `${channel.name}: ${fixed(Math.min(...channel.low), places)} to ${fixed(Math.max(...channel.high), places)} ${channel.unit} over ${Math.round(channel.at.at(-1))} s`,
    levels: levels.map(([text, value]) => ({text, value, kind: "level"})),
    words: (i, {x, series: [low, high]}) => `${fixed(x[i], 2)} s: ${low.values[i] === high.values[i] ? "" : `${fixed(low.values[i], places)} to `}${fixed(high.values[i], places)} ${channel.unit}`,
    more: async (from, to) => data((await fetched({from: from.toFixed(6), to: to.toFixed(6)})).channels.find((one) => one.name === channel.name)),
  });
}

/** How often each value was read: two humps are two levels. */
function histogram({name, unit, histogram: {low, high, counts}}, levels, file) {
  const step = (high - low) / counts.length || 1;
  const x = counts.map((_, i) => low + (i + 0.5) * step);
  return el("div", {class: "often"}, el("p", {class: "hint"}, `How often each ${name} was read, ${unit}`), chart({
    name: file, x, series: [{values: counts, look: "bars"}], whole: [low - step, high + step], fromZero: true, height: 190, along: unit,
    levels: levels.map(([text, value]) => ({text, value, kind: "level", upright: true})),
    spoken: `How often ${name} was read, from ${fixed(low, 2)} to ${fixed(high, 2)} ${unit}`,
    words: (i) => `${fixed(x[i], placesOf(unit) + 1)} ${unit}: ${counts[i]} times`,
  }));
}
