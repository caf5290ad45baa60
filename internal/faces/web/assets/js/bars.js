/** What the page says of itself: saved or not, undo and redo, no signal, what others changed. */
import * as store from "./store.js";

export function bars(job, page) {
  const saved = document.getElementById("saved");
  const undo = document.getElementById("undo");
  const redo = document.getElementById("redo");
  const offline = document.getElementById("offline");

  job.addEventListener("saved", () => {
    const n = (job.waiting ?? 0) + (job.photosWaiting ?? 0);
    saved.textContent = n === 0 ? "Saved here and at the office" : job.online ? `Saved here, sending (${n})` : `Will send when there is signal (${n})`;
  });
  job.addEventListener("history", () => {
    const { undo: u, redo: r } = job.history;
    label(undo, "Undo", u);
    label(redo, "Redo", r);
  });
  undo.addEventListener("click", () => job.undo());
  redo.addEventListener("click", () => job.redo());
  document.addEventListener("keydown", (e) => {
    if (!(e.ctrlKey || e.metaKey) || e.target.matches("input:not([type=range]),select")) return;
    const key = e.key.toLowerCase();
    if (key === "z" && !e.shiftKey) { e.preventDefault(); job.undo(); }
    if (key === "y" || (key === "z" && e.shiftKey)) { e.preventDefault(); job.redo(); }
  });

  const tellOffline = async () => {
    const n = await store.waiting();
    offline.hidden = job.online;
    const at = job.keptAt ? ` Answers are from ${new Date(job.keptAt).toLocaleTimeString(page.locale, { hour: "numeric", minute: "2-digit" })}.` : "";
    const open = window.isSecureContext ? "" : " Keep this page open.";
    if (!job.online && job.signedOut) {
      const way = Object.assign(document.createElement("a"), { href: `/sign-in?next=${encodeURIComponent(location.pathname)}`, textContent: "Sign in" });
      offline.replaceChildren(way, ` to send what you typed.${n ? ` ${n} ${n === 1 ? "change is" : "changes are"} saved here until then.` : ""}`);
      return;
    }
    offline.textContent = job.online ? "" : `No signal. Everything is saved here${n ? `, ${n} to send` : ""}. Drawing, boxes and stamps work; new answers and sheets wait.${at}${open}`;
  };
  job.addEventListener("online", tellOffline);
  job.addEventListener("changed", () => job.online || tellOffline());
  addEventListener("online", () => job.send());
  addEventListener("offline", () => job.setOnline(false));

  job.addEventListener("differs", (e) => differences(job, e.detail.differs, page, "you"));
  unsettled(job, page);
  job.addEventListener("refused", (e) => announce(`Not taken: ${e.detail.change.step}. ${e.detail.why}`));

  let soon = null;
  /** Says once, politely. */
  function announce(text) {
    let live = document.getElementById("live");
    if (!live) {
      live = Object.assign(document.createElement("p"), { id: "live", className: "quiet" });
      live.setAttribute("role", "status");
      document.body.append(live);
    }
    live.textContent = text;
  }
  /** A new answer is said once, a second after it has settled. */
  function announceSoon() {
    clearTimeout(soon);
    soon = setTimeout(() => {
      const a = document.querySelector(".strip .answer");
      if (a) announce(`${a.querySelector("dt").textContent}: ${a.querySelector(".value").textContent}`);
    }, 1000);
  }
  return { announce, announceSoon, offerUndo: (words) => offerUndo(job, words) };
}

function label(button, word, change) {
  button.disabled = !change;
  button.title = change ? `${word}: ${change.step}` : "";
  button.setAttribute("aria-label", change ? `${word}: ${change.step}` : word);
}

/** "Undo" in place of "are you sure?", for ten seconds; after that it is still in the list. */
function offerUndo(job, words) {
  document.querySelector(".undobar")?.remove();
  const bar = Object.assign(document.createElement("div"), { className: "undobar" });
  bar.setAttribute("role", "status");
  const b = Object.assign(document.createElement("button"), { type: "button", className: "button", textContent: "Undo" });
  b.setAttribute("aria-label", `Undo ${words}`);
  b.addEventListener("click", () => { bar.remove(); job.undo(); });
  bar.append(Object.assign(document.createElement("span"), { textContent: words }), b);
  (document.getElementById("undoplace") ?? document.body).append(bar);
  setTimeout(() => bar.remove(), 10000);
}

/** What two people said differently and nobody has settled yet stands here again when the page is opened. */
async function unsettled(job, page) {
  const r = await fetch(`/api/v1/jobs/${job.id}/changes?since=${document.body.dataset.revision}`).catch(() => null);
  if (!r?.ok) return;
  const { differences: open } = await r.json();
  if (open?.length) differences(job, open, page);
}

/** Both values side by side, keep either. */
function differences(job, list, page, typist) {
  const place = document.getElementById("differs");
  for (const d of list) {
    const id = `differs-${d.n}`;
    if (document.getElementById(id)) continue; // an answer that came twice
    const box = Object.assign(document.createElement("div"), { className: "differs", id });
    const label = document.querySelector(`.box[data-pointer="${d.pointer}"]`)?.dataset.label ?? d.pointer.split("/").at(-1).replaceAll("_", " ");
    const when = d.here_at ? ` at ${new Date(d.here_at).toLocaleTimeString(page.locale, { hour: "numeric", minute: "2-digit" })}` : "";
    const who = d.here_by || "Someone else";
    const show = (v) => (v === null || v === undefined ? "nothing" : typeof v === "object" ? JSON.stringify(v) : String(v));
    box.append(Object.assign(document.createElement("p"), { textContent: `${label}: ${who} set ${show(d.here)}${when}; ${typist ?? (d.by || "another device")} typed ${show(d.theirs)}.` }));
    for (const [keep, value] of [["here", d.here], ["theirs", d.theirs]]) {
      const b = Object.assign(document.createElement("button"), { type: "button", className: "button", textContent: `Keep ${show(value)}` });
      b.addEventListener("click", async () => {
        const kept = await fetch(`/api/v1/jobs/${job.id}/differences/${d.n}`, { method: "PUT", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ keep, by: (await store.small("name")) ?? "" }) }).catch(() => null);
        if (!kept?.ok && kept?.status !== 404) { // 404: somebody has chosen already
          page.announce("That did not reach the office. Choose again when there is signal.");
          return;
        }
        box.remove();
        await job.fetchDocument().catch(() => {});
        await job.relay();
        job.tell("elsewhere", {});
      });
      box.append(b);
    }
    place.append(box);
  }
  page.announce("Somebody else changed the same thing. Both values are at the top.");
}
