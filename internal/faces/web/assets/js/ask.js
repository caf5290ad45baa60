/** Asking for answers: coarse ones while something is dragged, whole ones after. An older answer never replaces a newer one. */

let seq = 0;
let shown = 0;
let flying = false;
let next = null;

/** Words of the answer strip that the page writes as a plant bills: in quarters. */
function words(name, figure, units) {
  if (name !== "order.yards" || units !== "us" || !Number.isFinite(figure.value)) return figure.text;
  const n = Math.round(figure.value * 4);
  if (Math.abs(figure.value * 4 - n) > 1e-6) return figure.text;
  const rest = ["", "1/4", "1/2", "3/4"][n % 4];
  const whole = Math.floor(n / 4);
  return `${[whole || (rest ? "" : 0), rest].filter((x) => x !== "").join(" ")} yd³`;
}

/** Writes figures where the page shows them. */
export function paint(answer, units, coarse) {
  for (const [stage, view] of Object.entries(answer.stages ?? {})) {
    for (const [name, figure] of Object.entries(view.figures ?? {})) {
      for (const place of document.querySelectorAll(`[data-figure="${stage}.${CSS.escape(name)}"]`)) {
        place.classList.toggle("coarse", coarse);
        const value = place.querySelector(".value");
        const text = words(`${stage}.${name}`, figure, units);
        if (value.textContent !== text) value.textContent = text;
      }
    }
  }
}

async function post(job, questions, sets, coarse, n) {
  const r = await fetch(`/api/v1/jobs/${job.id}/answers`, { method: "POST", headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ questions, sets: sets.map(({ pointer, value }) => ({ pointer, value })), coarse, seq: n }) });
  if (!r.ok) throw new Error(String(r.status));
  return r.json();
}

/** One answer to some questions, with some values set for the question only. */
export const ask = (job, questions, sets = []) => post(job, questions, sets, false, ++seq);

/**
 * A coarse answer for something that is being dragged. One question flies at a time; while it does, only the newest waits.
 * @returns {Promise<object|null>} the answer, or null when a newer one was asked meanwhile
 */
export function coarse(job, questions, sets, units) {
  const mine = { job, questions, sets, units, n: ++seq };
  if (flying) {
    next?.done(null);
    return new Promise((done) => (next = { ...mine, done }));
  }
  return fly(mine);
}

async function fly(one) {
  flying = true;
  const began = performance.now();
  try {
    const answer = await post(one.job, one.questions, one.sets, true, one.n);
    if (one.n < shown) return null;
    shown = one.n;
    paint(answer, one.units, true);
    performance.measure("coarse", { start: began, end: performance.now() });
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
