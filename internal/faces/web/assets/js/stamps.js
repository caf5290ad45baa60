/** Pour day: one large button stamps what happens, on this device first. A wrong stamp is taken back. */
import { get } from "./doc.js";

const list = "/pour/team/taps";
const order = ["truck here", "struck off", "sheen gone", "bull floated", "edged", "grooved", "floated", "broomed", "cured", "sawn"];
const once = { "truck here": "Truck here", "struck off": "Struck off", "sheen gone": "Sheen gone" };
const said = (what) => once[what] ?? what[0].toUpperCase() + what.slice(1);

export function stamps(job, page) {
  const root = document.getElementById("stamps");
  show(job, page);
  for (const what of ["changed", "elsewhere", "saved"]) job.addEventListener(what, () => show(job, page));
  if (!root) return;
  root.addEventListener("click", async (e) => {
    const what = e.target.closest("[data-stamp]")?.dataset.stamp;
    if (!what) return;
    const began = performance.now();
    const at = new Date();
    const words = `${said(what)} ${hours(at, page)}`;
    const kept = job.change(words, [{ pointer: `${list}/-`, value: { at: local(at), what } }]);
    show(job, page);
    page.offerUndo(words);
    navigator.vibrate?.(30);
    await kept;
    performance.measure("stamp", { start: began, end: performance.now() });
  });
  awake();
}

const taps = (job) => (get(job.doc, list) ?? []).map((t, i) => ({ ...t, i }));
const hours = (d, page) => d.toLocaleTimeString(page.locale, { hour: "numeric", minute: "2-digit" });

/** The moment with this place's offset from UTC, so that it is the same everywhere. */
function local(d) {
  const off = -d.getTimezoneOffset();
  const two = (n) => String(Math.trunc(Math.abs(n))).padStart(2, "0");
  const wall = new Date(d.getTime() + off * 60000).toISOString().slice(0, 19);
  return `${wall}${off < 0 ? "-" : "+"}${two(off / 60)}:${two(off % 60)}`;
}

/** What comes next, from what has been stamped. */
export function nextStep(all) {
  if (all.length === 0) return { due: "truck here", says: "Next: the first truck. Tap when it is here." };
  const count = (w) => all.filter((t) => t.what === w).length;
  const last = all.at(-1).what;
  if (last === "truck here") return { due: "struck off", says: "Next: place and strike off. Tap when the strip is off." };
  if (last === "struck off" && !count("bull floated")) return { due: "bull floated", says: "Next: bull float before the water rises." };
  const i = order.indexOf(last);
  const due = order[Math.min(i + 1, order.length - 1)];
  const words = { "sheen gone": "Next: wait for the sheen to go. No tool while water stands.", edged: "Next: edge.", grooved: "Next: groove.", floated: "Next: float.", broomed: "Next: broom.",
    cured: "Next: cure, at once behind the broom.", sawn: "Next: saw when it does not ravel.", "bull floated": "Next: bull float." };
  if (last === "bull floated" && !count("sheen gone")) return { due: "sheen gone", says: words["sheen gone"] };
  if (last === "sheen gone") return { due: "edged", says: words.edged };
  if (last === "sawn") return { due: null, says: "All stamped. Take the record home." };
  return { due, says: words[due] ?? `Next: ${due}.` };
}

function show(job, page) {
  const place = document.getElementById("stamped");
  if (!place) return;
  const all = taps(job);
  const next = nextStep(all);
  const says = document.getElementById("nextstep");
  if (says) says.textContent = next.says;
  const due = document.getElementById("due");
  if (due) {
    due.disabled = !next.due;
    due.dataset.stamp = next.due ?? "";
    due.textContent = next.due ? said(next.due) : "All stamped";
  }
  place.replaceChildren(...[...all].reverse().map((t) => row(t, job, page)));
  if (all.length === 0) place.append(Object.assign(document.createElement("li"), { textContent: "Nothing stamped yet." }));
}

function row(t, job, page) {
  const li = document.createElement("li");
  const clock = hours(new Date(t.at), page);
  const name = Object.assign(document.createElement("span"), { textContent: said(t.what) });
  const time = Object.assign(document.createElement("span"), { className: "clock", textContent: clock });
  const off = Object.assign(document.createElement("button"), { type: "button", className: "tool", textContent: "Take back" });
  off.setAttribute("aria-label", `Take back ${said(t.what)} ${clock}`);
  off.addEventListener("click", () => job.change(`${said(t.what)} ${clock} taken back`, [{ pointer: `${list}/${t.i}`, value: null }]).then(() => show(job, page)));
  li.append(time, name, off);
  return li;
}

/** Keeps the screen on where the browser lets it; elsewhere says how. */
async function awake() {
  const says = document.getElementById("awake");
  const hold = async () => {
    try {
      await navigator.wakeLock.request("screen");
      says.textContent = "The screen stays on while this page is open.";
    } catch {
      says.textContent = "The screen may go dark: set the phone to stay on longer.";
    }
  };
  if (!navigator.wakeLock) {
    says.textContent = "The screen may go dark: set the phone to stay on longer.";
    return;
  }
  await hold();
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && hold());
}
