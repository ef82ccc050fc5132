// Charts of what was measured: lines, bands, marks with intervals, levels. Drawn by uPlot, which is
// fetched when the first chart is wanted; zoom, values by pointer and keyboard, and saving are here.

import {button, el, say} from "./build.js";
import {save} from "./picture.js";

/** Each press of a key or button brings this share of the width (our own choice). */
const CLOSER = 0.5;

/** So far can be looked into: this share of the whole (our own choice: uneven clocks below it). */
const NARROWEST = 1e-4;

/** Of the height, free above and below what is drawn (our own choice). */
const ROOM = 0.08;

/** Looks that have marks and no line. */
const BARE = new Set(["outcomes", "margin"]);

/** What is between two series. */
const BANDS = {band: () => colour("--band"), margin: () => `${colour("--line")}4d`};

/** Looks whose values have marks. */
const MARKED = new Set(["now", "earlier", "outcomes"]);

let library;

function colour(name) {
  return getComputedStyle(document.documentElement).getPropertyValue(name).trim();
}

/** Drawn anew when light becomes dark. */
const drawn = new Set();
const again = () => drawn.forEach((one) => one.isConnected ? one.redraw() : drawn.delete(one));
matchMedia("(prefers-color-scheme: dark)").addEventListener("change", again);
new MutationObserver(again).observe(document.documentElement, {attributes: true, attributeFilter: ["data-theme"]});

/**
 * @param spec {name: of a file; spoken: all of it in words; x; along: what x is; height; time: x are seconds since 1970;
 *   series: [{values, u95?, look: "now" | "earlier" | "outcomes" | "band" | "margin" | "bars"}], two bands or margins first;
 *   mark?: (index, series) => "dot" | "square" | "doubt" | "gain" | "loss" | "same" | "unsure";
 *   levels: [{value, kind, text, upright?}]; whole: [from, to] of x; fromZero: y begins at 0; reach: [low, high] is always in sight;
 *   words: (index) => what stands there; hint; more?: async (from, to) => {x, series}: finer, of a part; svg?: (from, to) => drawing; svgWords?: what is saved so}
 * @return node with redraw()
 */
export function chart(spec) {
  const read = el("p", {class: "read-out", role: "status"}, spec.hint ?? "");
  const box = el("figure", {class: "chart-box plot", tabindex: 0, "aria-label": `${spec.spoken}. Arrow keys go from value to value, + and − zoom, 0 shows all.`});
  const all = {x: spec.x, series: spec.series};
  let data = all;
  let plot;
  let at = -1;
  let asked = 0;
  let seen = [];
  const whole = spec.whole ?? [spec.x[0], spec.x.at(-1)];
  const range = () => plot ? [plot.scales.x.min, plot.scales.x.max] : whole;

  const show = (from, to) => {
    const least = (whole[1] - whole[0]) * NARROWEST;
    const width = Math.min(whole[1] - whole[0], Math.max(least, to - from));
    const start = Math.max(whole[0], Math.min(whole[1] - width, (from + to - width) / 2));
    plot?.setScale("x", {min: start, max: start + width});
  };
  const zoom = (factor) => {
    const [from, to] = range();
    const centre = at >= 0 && data.x[at] >= from && data.x[at] <= to ? data.x[at] : (from + to) / 2;
    show(centre - (centre - from) * factor, centre + (to - centre) * factor);
  };
  const pick = (index) => {
    at = Math.max(0, Math.min(data.x.length - 1, index));
    const [from, to] = range();
    if (data.x[at] < from || data.x[at] > to) {
      show(data.x[at] - (to - from) / 2, data.x[at] + (to - from) / 2);
    }
    plot?.setCursor({left: plot.valToPos(data.x[at], "x"), top: 10}, false);
    say(read, spec.words(at, data));
  };
  const out = button("Wider", () => zoom(1 / CLOSER), {class: "zoom-out"});
  const full = button("All", () => show(...whole), {class: "zoom-all"});

  /** Buttons say whether there is more to see; finer data are fetched once the hand rests. */
  const zoomed = () => {
    const [from, to] = range();
    if (from === seen[0] && to === seen[1]) {
      return; // drawn anew, nothing else
    }
    seen = [from, to];
    const apart = to - from < (whole[1] - whole[0]) * 0.999;
    out.disabled = full.disabled = !apart;
    box.dataset.from = from;
    box.dataset.to = to;
    if (!spec.more) {
      return;
    }
    const mine = ++asked;
    if (!apart) {
      refill(all);
      return;
    }
    setTimeout(() => mine === asked && spec.more(from, to).then((finer) => mine === asked && refill(finer), () => {}), 250);
  };
  const refill = (finer) => {
    if (data !== finer) {
      data = finer;
      at = -1;
      box.dataset.points = data.x.length;
      plot.setData(columns(data), false);
      plot.redraw();
    }
  };

  box.addEventListener("keydown", (event) => {
    const act = {
      ArrowRight: () => pick(at < 0 ? 0 : at + 1), ArrowLeft: () => pick(at < 0 ? data.x.length - 1 : at - 1),
      "+": () => zoom(CLOSER), "=": () => zoom(CLOSER), "-": () => zoom(1 / CLOSER), "0": () => show(...whole),
    }[event.key];
    if (act && !event.ctrlKey && !event.metaKey) {
      event.preventDefault();
      act();
    }
  });
  box.addEventListener("dblclick", () => show(...whole));

  const draw = async () => {
    const {default: Plot} = await (library ??= fetched());
    if (!plot && box.clientWidth > 0) {
      plot = new Plot(options(spec, Plot, {whole, data: () => data, zoomed, pointed: (index) => {
        at = index;
        say(read, spec.words(index, data));
      }}, box.clientWidth), columns(data), box);
      box.dataset.points = data.x.length;
    } else {
      plot?.setSize({width: box.clientWidth, height: spec.height});
    }
  };
  let width = 0;
  new ResizeObserver(() => {
    if (box.clientWidth !== width) {
      width = box.clientWidth;
      draw();
    }
  }).observe(box);

  const node = el("div", {class: "chart-with"}, box, read,
    el("p", {class: "line chart-orders"}, button("Closer", () => zoom(CLOSER), {class: "zoom-in"}), out, full,
      spec.svg ? button(spec.svgWords ?? "Save as SVG", () => spec.svg(...range()), {class: "save-svg"}) : "",
      button("Save as PNG", () => savePng(plot, spec.name), {class: "save-png"})));
  node.redraw = () => plot?.redraw(false);
  drawn.add(node);
  return node;
}

/** The library, once its style is there too. */
async function fetched() {
  const style = el("link", {rel: "stylesheet", href: "/uplot.css"});
  const styled = new Promise((done) => ["load", "error"].forEach((end) => style.addEventListener(end, done)));
  document.head.append(style);
  const [plot] = await Promise.all([import("./uplot.js"), styled]);
  return plot;
}

/** Ends of intervals stand in lines that are not drawn: what is drawn then has room for them. */
function columns({x, series}) {
  return [x, ...series.flatMap(({values, u95}) => u95
    ? [values, values.map((v, i) => v === null ? null : v - (u95[i] || 0)), values.map((v, i) => v === null ? null : v + (u95[i] || 0))] : [values])];
}

function options(spec, Plot, now, width) {
  const font = `${getComputedStyle(document.documentElement).fontSize} ${getComputedStyle(document.body).fontFamily}`;
  const axis = {font, labelFont: font, stroke: () => colour("--quiet"), grid: {stroke: () => colour("--grid"), width: 1}, ticks: {show: false}};
  const lines = [{}];
  spec.series.forEach(({u95, look}) => {
    lines.push({
      stroke: BARE.has(look) ? undefined : () => colour(look === "earlier" ? "--earlier" : look === "now" ? "--now" : "--trace"),
      fill: look === "bars" ? () => colour("--trace") : undefined,
      width: look === "band" ? 1 : 2, dash: look === "earlier" ? [8, 5] : undefined, points: {show: false}, spanGaps: true,
      paths: BARE.has(look) ? () => null : look === "bars" ? Plot.paths.bars({size: [0.9, Infinity]}) : undefined,
    });
    if (u95) {
      lines.push({paths: () => null, points: {show: false}}, {paths: () => null, points: {show: false}});
    }
  });
  const upright = (spec.levels ?? []).filter((level) => !level.upright).map((level) => level.value);
  return {
    width, height: spec.height, legend: {show: false},
    cursor: {drag: {x: true, y: false}, points: {show: false}, y: false, bind: {dblclick: () => null}},
    scales: {
      x: {time: Boolean(spec.time), range: (_, from, to) => from <= spec.x[0] && to >= spec.x.at(-1) ? now.whole : [from, to]},
      y: {range: (_, low, high) => {
        const inSight = [...upright, ...spec.reach ?? []];
        const [least, most] = [Math.min(low ?? 0, ...inSight), Math.max(high ?? 1, ...inSight)];
        const room = (most - least || Math.abs(most) || 1) * ROOM;
        return [spec.fromZero ? Math.min(0, least) : least - room, most + room];
      }},
    },
    axes: [{...axis, space: spec.time ? 130 : 60, size: 34, ...spec.time ? {values: dates} : {}, ...spec.along ? {label: spec.along, labelSize: 24, labelGap: 0} : {}}, {...axis, size: 78, space: 34}],
    bands: BANDS[spec.series[1]?.look] ? [{series: [2, 1], fill: BANDS[spec.series[1].look]}] : [],
    series: lines,
    hooks: {
      draw: [(plot) => marks(plot, spec, now.data())],
      setCursor: [(plot) => Number.isInteger(plot.cursor.idx) && plot.cursor.left >= 0 && now.pointed(plot.cursor.idx)],
      ready: [() => now.zoomed()],
      setScale: [(plot, key) => key === "x" && plot.status === 1 && now.zoomed()],
    },
  };
}

/** As this computer's clock and calendar say it. */
function dates(_, moments, axis, space, step) {
  const how = step >= 86_400 ? {dateStyle: "medium"} : {hour: "2-digit", minute: "2-digit", ...step < 60 ? {second: "2-digit"} : {}};
  return moments.map((seconds) => new Date(seconds * 1000).toLocaleString(undefined, how));
}

/** What the library does not know: the heavy line at zero, levels with their names, intervals, marks. */
function marks(plot, spec, {x, series}) {
  const g = plot.ctx;
  const dot = window.devicePixelRatio || 1;
  const {left, top, width, height} = plot.bbox;
  g.save();
  g.beginPath();
  g.rect(left, top, width, height);
  g.clip();
  const line = (from, to, look) => {
    g.beginPath();
    g.moveTo(...from);
    g.lineTo(...to);
    Object.assign(g, {strokeStyle: look.colour, lineWidth: look.width * dot});
    g.setLineDash((look.dash ?? []).map((part) => part * dot));
    g.stroke();
    g.setLineDash([]);
  };
  if (plot.scales.y.min <= 0 && plot.scales.y.max >= 0) {
    const y = plot.valToPos(0, "y", true);
    line([left, y], [left + width, y], {colour: colour("--line"), width: 2.5});
  }
  levels(plot, spec.levels ?? [], line, dot);
  series.forEach(({values, u95, look}, s) => {
    if (!MARKED.has(look)) {
      return;
    }
    x.forEach((at, i) => {
      if (!Number.isFinite(values[i])) {
        return;
      }
      const mark = spec.mark?.(i, s) ?? "dot";
      const ink = colour(INKS[mark] ?? (look === "earlier" ? "--earlier" : "--now"));
      const [cx, cy] = [plot.valToPos(at, "x", true), plot.valToPos(values[i], "y", true)];
      if (u95?.[i] > 0) {
        const [a, b] = [plot.valToPos(values[i] + u95[i], "y", true), plot.valToPos(values[i] - u95[i], "y", true)];
        line([cx, a], [cx, b], {colour: ink, width: 2, dash: mark === "unsure" ? [4, 4] : []});
        [a, b].forEach((y) => line([cx - 5 * dot, y], [cx + 5 * dot, y], {colour: ink, width: 2}));
      }
      marked(g, [cx, cy], mark, ink, dot);
    });
  });
  g.restore();
}

/** A level that is not drawn over another's name says its own. */
function levels(plot, all, line, dot) {
  const g = plot.ctx;
  const {left, top, width, height} = plot.bbox;
  const said = [];
  const size = 13 * dot;
  Object.assign(g, {font: `600 ${size}px ${getComputedStyle(document.body).fontFamily}`, textAlign: "left", textBaseline: "alphabetic"});
  for (const {value, kind, text, upright} of all) {
    const look = {colour: colour({centre: "--quiet", warning: "--level", level: "--level"}[kind] ?? "--fault"), width: 1.8, dash: {centre: [], warning: [4, 5], level: [10, 6]}[kind] ?? [10, 5]};
    const at = plot.valToPos(value, upright ? "x" : "y", true);
    upright ? line([at, top], [at, top + height], look) : line([left, at], [left + width, at], look);
    const room = g.measureText(text).width;
    const [x, y] = upright ? [Math.min(at + 5 * dot, left + width - room), top + size * (1 + 1.2 * said.length)] : [left + width - room - 4 * dot, at - 4 * dot];
    if (said.every((other) => Math.abs(other - y) > size)) {
      said.push(y);
      g.fillStyle = colour("--card");
      g.fillRect(x - 3 * dot, y - size, room + 6 * dot, size * 1.25);
      g.fillStyle = colour("--text");
      g.fillText(text, x, y);
    }
  }
}

/** Marks that have a colour of their own. */
const INKS = {gain: "--now", loss: "--earlier", same: "--quiet", unsure: "--text"};

/** Marks that are not filled with their own colour. */
const HOLLOW = new Set(["doubt", "unsure"]);

/** Each mark around a place, in pixels of the page. */
const SHAPES = {
  doubt: "M0 -8L8 6H-8Z", gain: "M0 -9l9 15h-18Z", loss: "M0 9l9 -15h-18Z", square: "M-5 -5h10v10h-10Z",
  same: "M-8 -6h16v4h-16ZM-8 2h16v4h-16Z", unsure: "M-7 0a7 7 0 1 0 14 0a7 7 0 1 0 -14 0Z", dot: "M-5 0a5 5 0 1 0 10 0a5 5 0 1 0 -10 0Z",
};

function marked(g, [x, y], mark, ink, dot) {
  const hollow = HOLLOW.has(mark);
  const shape = new Path2D();
  shape.addPath(new Path2D(SHAPES[mark]), new DOMMatrix([dot, 0, 0, dot, x, y]));
  Object.assign(g, {fillStyle: hollow ? colour("--card") : ink, strokeStyle: hollow ? ink : colour("--card"), lineWidth: 2 * dot});
  g.fill(shape);
  g.stroke(shape);
}

/** On the colour of the card: a picture without a ground is black in some programs. */
function savePng(plot, name) {
  const from = plot.ctx.canvas;
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [from.width, from.height];
  const g = canvas.getContext("2d");
  g.fillStyle = colour("--card");
  g.fillRect(0, 0, canvas.width, canvas.height);
  g.drawImage(from, 0, 0);
  canvas.toBlob((blob) => save(blob, `${name}.png`), "image/png");
}
