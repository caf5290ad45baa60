/** Reading what a person typed, as the office does it: read back, note, ask, or say what to type instead. */

const cache = new Map();

/** How many texts are being read just now. */
export const reading = { now: 0 };

/**
 * @param {{pointer: string, text: string, units: string}} what
 * @returns {Promise<{readback?: string, value_si?: number, notes?: string[], ask?: object, stop?: object, offline?: boolean}>}
 */
export async function read(what) {
  const key = JSON.stringify(what);
  if (cache.has(key)) return cache.get(key);
  reading.now++;
  try {
    const r = await fetch("/api/v1/read", { method: "POST", headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ ...what, locale: navigator.language, time_zone: zone() }) });
    if (!r.ok) throw new Error(String(r.status));
    const heard = await r.json();
    if (cache.size > 500) cache.clear();
    cache.set(key, heard);
    return heard;
  } catch {
    return alone(what);
  } finally {
    queueMicrotask(() => setTimeout(() => reading.now--)); // whoever asked goes on first
  }
}

/** The zone a clock is read in: the site's, or where nobody said one, this device's. */
const zone = () => document.body.dataset.zone || Intl.DateTimeFormat().resolvedOptions().timeZone;

/** Without signal a length in plain feet, inches or metres is read here; anything else is kept as typed until there is signal. */
function alone({ text, units }) {
  const t = text.trim().replaceAll(/[’′]/g, "'").replaceAll(/[”″]/g, '"');
  const m = /^(\d+)\s*(?:'|ft|\s|-)\s*(\d+)?(?:[\s-]+(\d+)\/(2|4|8|16))?\s*"?$/.exec(t);
  if (m) {
    const inches = Number(m[1]) * 12 + Number(m[2] ?? 0) + (m[3] ? Number(m[3]) / Number(m[4]) : 0);
    return { value_si: inches * 0.0254, offline: true, readback: "" };
  }
  const n = /^(\d+(?:\.\d+)?)\s*(ft|m)?$/.exec(t);
  if (n) return { value_si: Number(n[1]) * (n[2] === "m" || (!n[2] && units === "metric") ? 1 : 0.3048), offline: true, readback: "" };
  return { offline: true };
}

/** What was typed, why it cannot be, what to type instead. */
export const stopWords = (stop) => stop.says ?? [stop.what, stop.why, stop.type_this].filter(Boolean).join(" ");

/**
 * Shows a reading under its box. A question holds the value until one of its answers is picked.
 * @returns {boolean} whether the value may be used
 */
export function showReading(out, heard, pick) {
  out.replaceChildren();
  const line = (cls, text) => out.append(Object.assign(document.createElement("span"), { className: cls, textContent: text }));
  if (heard.stop) {
    line("stop", stopWords(heard.stop));
    return false;
  }
  if (heard.readback) line("back", heard.readback);
  for (const n of heard.notes ?? []) line("note", n);
  if (heard.ask) {
    const box = Object.assign(document.createElement("span"), { className: "ask", textContent: heard.ask.question });
    for (const c of heard.ask.choices ?? []) {
      const b = Object.assign(document.createElement("button"), { type: "button", className: "tool", textContent: c.label ?? c.text });
      b.addEventListener("click", () => pick(c.value ?? c.text));
      box.append(b);
    }
    out.append(box);
    return false;
  }
  if (heard.offline && heard.value_si === undefined) line("note", "Saved here. It is read when there is signal.");
  return true;
}
