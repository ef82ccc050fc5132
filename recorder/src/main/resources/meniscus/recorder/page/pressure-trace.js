// The test pressure of the last 25 s, small, beside its number: does the hand on the blower hold it?

import {sharp} from "./sharp.js";

const SPAN_S = 25;
const MOST = 500;

/** Finer steps than a pixel cost the processor and show nothing [s]. */
const STEP_S = 0.15;

export class PressureTrace {
  constructor(canvas) {
    this.canvas = canvas;
    this.rows = [];
  }

  load(trace) {
    this.rows = [];
    (trace?.at ?? []).forEach((at, i) => this.add(at, trace.pressure?.[i]));
  }

  add(at, pressure) {
    const last = this.rows.at(-1);
    if (!Number.isFinite(at) || !Number.isFinite(pressure) || last && at - last[0] < STEP_S && at >= last[0]) {
      return;
    }
    if (last && at < last[0]) {
      this.rows = [];
    }
    this.rows.push([at, pressure]);
    while (this.rows.length > MOST || this.rows[0][0] < at - SPAN_S) {
      this.rows.shift();
    }
  }

  /** @param aim the asked pressure; band: how far it may be off, relative */
  draw(aim, band) {
    const {canvas} = this;
    const paper = aim > 0 ? sharp(canvas, [20, 12]) : null;
    if (!paper) {
      return;
    }
    const {g, w, h} = paper;
    const style = getComputedStyle(canvas);
    // Twice the band each way: what leaves the picture is far off.
    const y = (pressure) => h / 2 - Math.max(-1, Math.min(1, (pressure - aim) / aim / band / 2)) * (h / 2 - 2);
    const end = this.rows.at(-1)?.[0] ?? 0;
    g.fillStyle = style.getPropertyValue("--window");
    g.fillRect(0, y(aim * (1 + band)), w, y(aim * (1 - band)) - y(aim * (1 + band)));
    g.beginPath();
    this.rows.forEach(([at, pressure], i) => {
      const x = w - ((end - at) / SPAN_S) * w;
      i ? g.lineTo(x, y(pressure)) : g.moveTo(x, y(pressure));
    });
    g.strokeStyle = style.getPropertyValue("--trace");
    g.lineWidth = 2;
    g.stroke();
  }
}
