// Numbers as people read them at the bench.

export const NONE = "–";

/** Decimals at which a value with this uncertainty is shown: the first two digits of it count. */
export function decimals(u) {
  if (!(u > 0)) {
    return 1;
  }
  return Math.max(0, Math.min(4, 1 - Math.floor(Math.log10(u))));
}

/** A number with fixed decimals; a dash when there is none. What rounds to nothing has no sign. */
export function fixed(value, places) {
  if (!Number.isFinite(value)) {
    return NONE;
  }
  const text = value.toFixed(places);
  return (Number(text) === 0 ? text.replace("-", "") : text).replace("-", "−");
}

/** Decimals for the large digits: four digits in all, more only where the interval is finer. */
export function largePlaces(value, u) {
  const room = Math.max(0, 4 - String(Math.floor(Math.abs(value))).length);
  const first = -Math.floor(Math.log10(u));
  return Math.max(Math.min(decimals(u), room), Math.min(first, 4), 0);
}

/** Decimals of a unit where no uncertainty says more. */
export function placesOf(unit) {
  return {in: 3, mm: 2, cfm: 1, "L/s": 1, "m3/h": 0, "m3/s": 4, inH2O: 1, Pa: 0, kPa: 2, hPa: 1}[unit] ?? 2;
}

/** A value with its interval: "140.7 ± 0.5". */
export function withInterval(value, u, unit) {
  if (!Number.isFinite(value)) {
    return NONE;
  }
  if (!(u > 0)) {
    return fixed(value, placesOf(unit)) + " ± ?";
  }
  const places = decimals(u);
  return `${fixed(value, places)} ± ${fixed(u, places)}`;
}

/** A number of things: "1 rung", "7 rungs". */
export function count(number, one) {
  return `${number} ${one}${number === 1 ? "" : "s"}`;
}

/** Round steps for an axis from low to high: about as many as asked. */
export function ticks(low, high, about) {
  const raw = (high - low) / about;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= raw) ?? raw;
  const places = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const list = [];
  for (let t = Math.ceil(low / step - 1e-9) * step; t <= high + step * 1e-9; t += step) {
    list.push({at: t, text: fixed(t, places)});
  }
  return list;
}

/** The time of day of an ISO instant, on this computer's clock. */
export function when(iso) {
  const at = new Date(iso);
  return Number.isNaN(at.getTime()) ? "" : at.toLocaleString(undefined, {dateStyle: "medium", timeStyle: "short"});
}
