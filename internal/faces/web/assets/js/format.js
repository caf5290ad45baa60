/** Lengths as hands read them. Everything inside is metres. */
const inch = 0.0254;

/** Feet and inches to 1/8, or metres to a millimetre. */
export function side(m, units) {
  if (units === "metric") return `${m.toFixed(3)} m`;
  const eighths = Math.round(Math.abs(m) / inch * 8);
  const feet = Math.floor(eighths / 96);
  const inches = Math.floor((eighths % 96) / 8);
  let [n, d] = [eighths % 8, 8];
  while (n && n % 2 === 0) [n, d] = [n / 2, d / 2];
  return `${m < 0 ? "-" : ""}${feet}'-${inches}${n ? ` ${n}/${d}` : ""}"`;
}

/** A place written so that it reads back to the same point: inches or metres with what they need of decimals. */
export function exact(m, units) {
  return units === "metric" ? `${trim(m.toFixed(5))} m` : `${trim((m / inch).toFixed(4))} in`;
}

/** Metres of a place as exact writes it, or of a bare number in the job's unit. */
export function metresOf(t, units) {
  if (typeof t === "number") return t * (units === "us" ? 0.3048 : 1);
  const n = Number.parseFloat(t);
  if (/in$/.test(t)) return n * inch;
  if (/ft$/.test(t)) return n * 0.3048;
  return /m$/.test(t) || units !== "us" ? n : n * 0.3048;
}

const trim = (text) => text.replace(/\.?0+$/, "") || "0";

export function area(m2, units) {
  return units === "metric" ? `${m2.toFixed(1)} m²` : `${Math.round(m2 / 0.09290304).toLocaleString("en-US")} ft²`;
}

/** What one press of an arrow key moves: 1/8 in or 5 mm; with Shift 1 ft or 0.25 m. */
export const step = (units, large) => (units === "metric" ? (large ? 0.25 : 0.005) : large ? 0.3048 : inch / 8);

/** Hours and minutes of a time of day in minutes. */
export function clock(minutes, locale) {
  return new Date(2000, 0, 1, 0, minutes).toLocaleTimeString(locale, { hour: "numeric", minute: "2-digit" });
}
