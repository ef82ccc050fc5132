// The live flow of the last 25 s, drawn on a canvas: lowest to highest of each tenth of a second as
// a band, their mean as a line, the averaging window shaded, both levels when it switches.

import {fixed, ticks} from "./numbers.js";
import {sharp} from "./sharp.js";

const SPAN_S = 25;
const MOST = 2000;

/** One or two pixels: finer steps cost the processor much, and nobody sees them [s]. */
const STEP_S = 0.1;

export class Trace {
  constructor(canvas) {
    this.canvas = canvas;
    this.rows = [];
    this.state = {};
    this.unit = "";
    this.drawn = false;
    new ResizeObserver(() => this.plan()).observe(canvas);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.plan());
  }

  /** The last half minute, as the program remembers it. */
  load(trace, unit) {
    this.unit = unit;
    this.rows = [];
    (trace?.at ?? []).forEach((at, i) => this.append([at, trace.low[i], trace.mean[i], trace.high[i]]));
    this.plan();
  }

  /** A row is [at, lowest, mean, highest, means in it]; null where nothing was read. */
  append([at, low, mean, high]) {
    const last = this.rows.at(-1);
    if (last && last[2] !== null && mean !== null && Math.floor(at / STEP_S) === Math.floor(last[0] / STEP_S)) {
      const count = last[4] + 1;
      this.rows[this.rows.length - 1] = [at, Math.min(last[1], low), last[2] + (mean - last[2]) / count, Math.max(last[3], high), count];
    } else {
      this.rows.push([at, low, mean, high, 1]);
    }
  }

  add(state) {
    this.state = state;
    const last = this.rows.at(-1);
    if (state.at !== null && state.flow_fresh && (!last || state.at > last[0])) {
      if (last && state.at - last[0] > SPAN_S) {
        this.rows = [];
      }
      this.append([state.at, state.live_low, state.live, state.live_high]);
      if (this.rows.length > MOST) {
        this.rows.splice(0, this.rows.length - MOST);
      }
    }
    this.plan();
  }

  plan() {
    if (!this.drawn) {
      this.drawn = true;
      requestAnimationFrame(() => {
        this.drawn = false;
        this.draw();
      });
    }
  }

  draw() {
    const canvas = this.canvas;
    const paper = sharp(canvas, [40, 30]);
    if (!paper) {
      return;
    }
    const {g, w, h} = paper;
    const style = getComputedStyle(canvas);
    const colour = (name) => style.getPropertyValue(name).trim();
    const size = Math.max(13, Math.min(20, w / 38));
    g.font = `${size}px ${style.fontFamily}`;

    const end = this.rows.at(-1)?.[0] ?? 0;
    while (this.rows.length && this.rows[0][0] < end - SPAN_S - 1) {
      this.rows.shift();
    }
    const left = size * 3.6;
    const right = w - 6;
    const top = 6;
    const bottom = h - size * 1.5;
    const x = (at) => right - ((end - at) / SPAN_S) * (right - left);
    const [low, high] = this.bounds();
    const y = (flow) => bottom - ((flow - low) / (high - low)) * (bottom - top);

    this.shade(g, x, top, bottom, left, right, colour("--window"));
    this.axes(g, {x, y, low, high, left, right, top, bottom, size, end}, colour);
    g.save();
    g.beginPath();
    g.rect(left, top, right - left, bottom - top);
    g.clip();
    this.band(g, x, y, colour("--band"), colour("--trace"));
    this.levels(g, y, left, right, colour("--level"), colour("--card"), size);
    g.restore();
  }

  /** From lowest to highest of this rung, but never less than 4 % of the flow: calm must look calm. */
  bounds() {
    let low = Infinity;
    let high = -Infinity;
    const end = this.rows.at(-1)?.[0] ?? 0;
    const averaged = this.state.phase === "averaging" ? this.state.seconds ?? 0 : 0;
    const from = end - Math.min(SPAN_S, Math.max(averaged, 3));
    for (const row of this.rows) {
      if (row[1] !== null && row[0] > from) {
        low = Math.min(low, row[1]);
        high = Math.max(high, row[3]);
      }
    }
    if (!Number.isFinite(low)) {
      return [0, 1];
    }
    const middle = (low + high) / 2;
    const half = Math.max((high - low) / 2, 0.02 * Math.abs(middle), 1e-6) * 1.1;
    return [middle - half, middle + half];
  }

  shade(g, x, top, bottom, left, right, colour) {
    const from = this.state.from;
    if (from !== undefined && from !== null && this.state.phase === "averaging") {
      g.fillStyle = colour;
      const start = Math.max(left, x(from));
      g.fillRect(start, top, Math.max(0, right - start), bottom - top);
      g.strokeStyle = colour;
    }
  }

  axes(g, f, colour) {
    g.fillStyle = colour("--quiet");
    g.strokeStyle = colour("--grid");
    g.lineWidth = 1;
    g.textBaseline = "middle";
    g.textAlign = "right";
    if (this.rows.length) {
      for (const tick of ticks(f.low, f.high, 3)) {
        g.beginPath();
        g.moveTo(f.left, f.y(tick.at));
        g.lineTo(f.right, f.y(tick.at));
        g.stroke();
        if (f.y(tick.at) > f.size * 0.6) {
          g.fillText(tick.text, f.left - 5, f.y(tick.at));
        }
      }
    }
    g.textBaseline = "alphabetic";
    g.textAlign = "center";
    const now = "now, s";
    const free = f.right - g.measureText(now).width - f.size;
    for (let ago = 5; ago < SPAN_S; ago += 5) {
      if (f.x(f.end - ago) < free) {
        g.fillText(`−${ago}`, f.x(f.end - ago), f.bottom + f.size * 1.15);
      }
    }
    g.textAlign = "right";
    g.fillText(now, f.right, f.bottom + f.size * 1.15);
  }

  band(g, x, y, band, line) {
    for (const piece of this.pieces()) {
      g.beginPath();
      piece.forEach((row, i) => (i ? g.lineTo(x(row[0]), y(row[3])) : g.moveTo(x(row[0]), y(row[3]))));
      for (let i = piece.length - 1; i >= 0; i--) {
        g.lineTo(x(piece[i][0]), y(piece[i][1]));
      }
      g.closePath();
      g.fillStyle = band;
      g.fill();
      g.beginPath();
      piece.forEach((row, i) => (i ? g.lineTo(x(row[0]), y(row[2])) : g.moveTo(x(row[0]), y(row[2]))));
      g.strokeStyle = line;
      g.lineWidth = 2;
      g.lineJoin = "bevel";
      g.stroke();
    }
  }

  /** The trace without its gaps: nothing is drawn where nothing was read. */
  pieces() {
    const pieces = [];
    let piece = [];
    for (const row of this.rows) {
      const gap = piece.length && row[0] - piece.at(-1)[0] > 0.5;
      if (row[2] === null || gap) {
        if (piece.length > 1) {
          pieces.push(piece);
        }
        piece = [];
      }
      if (row[2] !== null) {
        piece.push(row);
      }
    }
    if (piece.length > 1) {
      pieces.push(piece);
    }
    return pieces;
  }

  levels(g, y, left, right, colour, back, size) {
    const two = this.state.switching;
    if (!two) {
      return;
    }
    g.strokeStyle = colour;
    g.fillStyle = colour;
    g.lineWidth = 2.5;
    g.setLineDash([10, 6]);
    g.textAlign = "left";
    const places = two.high < 20 ? 2 : 1;
    for (const [level, share] of [[two.high, two.share_high], [two.low, 1 - two.share_high]]) {
      g.beginPath();
      g.moveTo(left, y(level));
      g.lineTo(right, y(level));
      g.stroke();
      const text = `${fixed(level, places)} for ${Math.round(share * 100)} % of the time`;
      g.fillStyle = back;
      g.fillRect(left + 4, y(level) - size * 1.35, g.measureText(text).width + 8, size * 1.25);
      g.fillStyle = colour;
      g.fillText(text, left + 8, y(level) - size * 0.4);
    }
    g.setLineDash([]);
  }
}
