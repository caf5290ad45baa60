/** Asking for answers: coarse ones while something is dragged, whole ones after. An older answer never replaces a newer one. */

import { device } from "./store.js";
import { withWas } from "./doc.js";

let seq = Date.now(); // rises over reloads too
let shown = 0;
let flying = false;
let next = null;
const me = device();

/** Writes figures where the page shows them. */
export function paint(answer, coarse) {
  for (const [stage, view] of Object.entries(answer.stages ?? {})) {
    for (const [name, figure] of Object.entries(view.figures ?? {})) {
      for (const place of document.querySelectorAll(`[data-figure="${stage}.${CSS.escape(name)}"]`)) {
        place.classList.toggle("coarse", coarse);
        const value = place.querySelector(".value");
        if (value.textContent !== figure.text) value.textContent = figure.text;
      }
    }
  }
}

async function post(job, questions, sets, coarse, n, results) {
  const r = await fetch(`/api/v1/jobs/${job.id}/answers`, { method: "POST", headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ questions, results, sets: withWas(job.doc, sets).map(({ pointer, value, was }) => ({ pointer, value, was })), coarse, seq: n, device: `${await me}-${coarse ? "drag" : "ask"}` }) });
  if (!r.ok) throw new Error(String(r.status));
  return r.json();
}

/** The whole answer to some questions with the places it was drawn from. */
export const ask = (job, questions, sets = []) => post(job, questions, sets, false, ++seq, questions);

/**
 * A coarse answer for something that is being dragged. One question flies at a time; while it does, only the newest waits.
 * @returns {Promise<object|null>} the answer, or null when a newer one was asked meanwhile
 */
export function coarse(job, questions, sets) {
  const mine = { job, questions, sets, n: ++seq, asked: performance.now() };
  if (flying) {
    next?.done(null);
    return new Promise((done) => (next = { ...mine, done }));
  }
  return fly(mine);
}

async function fly(one) {
  flying = true;
  try {
    const answer = await post(one.job, one.questions, one.sets, true, one.n);
    if (one.n < shown) return null;
    shown = one.n;
    paint(answer, true);
    requestAnimationFrame(() => performance.measure("coarse", { start: one.asked, end: performance.now() })); // from the move to its numbers
    return answer;
  } catch {
    return null;
  } finally {
    flying = false;
    if (next) {
      const waiting = next;
      next = null;
      fly(waiting).then(waiting.done);
    }
  }
}

/** Everything asked before now is too old to be shown. */
export function settle() {
  shown = ++seq;
  next?.done(null);
  next = null;
  return shown;
}

export const newest = (n) => n >= shown;
