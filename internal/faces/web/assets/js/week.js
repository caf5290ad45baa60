/** The week: jobs moved to another day or crew by dragging or by keys, taken back, printed. */
import * as store from "./store.js";
import { get } from "./doc.js";

const says = (text) => (document.getElementById("weeksays").textContent = text);
const done = []; // moves that can be taken back, the last at the end
let held = null; // { slot, from, aim }

export async function weekPage() {
  const undo = document.getElementById("weekundo");
  const print = document.getElementById("weekprint");
  undo.hidden = print.hidden = false;
  undo.addEventListener("click", takeBack);
  print.addEventListener("click", () => window.print());
  document.addEventListener("keydown", keys);
  wire();
  document.body.dataset.ready = "yes";
}

/** Every job gets a button that picks it up, and can be dragged. */
function wire() {
  for (const slot of document.querySelectorAll(".slot")) {
    slot.draggable = true;
    const grab = Object.assign(document.createElement("button"), { type: "button", className: "tool grab", textContent: "Pick up" });
    grab.append(Object.assign(document.createElement("span"), { className: "quiet", textContent: ` ${slot.dataset.title}` }));
    grab.addEventListener("click", () => (held?.slot === slot ? drop() : pick(slot)));
    slot.append(grab);
    slot.addEventListener("dragstart", (e) => { e.dataTransfer.setData("text/plain", slot.dataset.job); pick(slot, true); });
    slot.addEventListener("dragend", letGo);
  }
  for (const cell of document.querySelectorAll(".weektable td")) {
    cell.addEventListener("dragover", (e) => { if (held) { e.preventDefault(); aim(cell, true); } });
    cell.addEventListener("drop", (e) => { e.preventDefault(); drop(); });
  }
}

const cellOf = (slot) => slot.closest("td");

function pick(slot, quiet) {
  letGo();
  held = { slot, from: cellOf(slot), aim: cellOf(slot) };
  slot.classList.add("held");
  held.aim.classList.add("aim");
  if (!quiet) says(`${slot.dataset.title} is picked up. Arrow keys choose day and crew, Enter puts it there, Escape lets go.`);
}

function letGo() {
  if (!held) return;
  held.slot.classList.remove("held");
  held.aim.classList.remove("aim");
  held = null;
}

function aim(cell, quiet) {
  if (!held || held.aim === cell) return;
  held.aim.classList.remove("aim");
  held.aim = cell;
  cell.classList.add("aim");
  if (!quiet) {
    cell.scrollIntoView({ block: "nearest", inline: "nearest" });
    says(`${crewName(cell)}, ${dayName(cell)}`);
  }
}

const crewName = (cell) => cell.parentElement.querySelector("th").firstChild.textContent.trim();
const dayName = (cell) => cell.closest("table").tHead.rows[0].cells[cell.cellIndex].firstChild.textContent.trim();

function keys(e) {
  if ((e.ctrlKey || e.metaKey) && e.key === "z" && !e.target.matches("input")) {
    e.preventDefault();
    return takeBack();
  }
  if (!held) return;
  const step = { ArrowRight: [0, 1], ArrowLeft: [0, -1], ArrowDown: [1, 0], ArrowUp: [-1, 0] }[e.key];
  if (step) {
    const rows = [...held.aim.closest("tbody").rows];
    const row = rows[rows.indexOf(held.aim.parentElement) + step[0]];
    const cell = row?.cells[held.aim.cellIndex + step[1]];
    if (cell?.matches("td")) aim(cell);
  } else if (e.key === "Enter") drop();
  else if (e.key === "Escape") {
    const { slot } = held;
    letGo();
    says("Let go. Nothing is moved.");
    slot.querySelector(".grab").focus();
  } else return;
  e.preventDefault();
}

async function drop() {
  if (!held) return;
  const { slot, from, aim: to } = held;
  letGo();
  if (to === from) return says("It stays where it is.");
  await move(slot.dataset.job, slot.dataset.title, { day: to.dataset.day, crew: to.dataset.crew }, `${crewName(to)}, ${dayName(to)}`, true);
}

/** Puts a job on a day with a crew, as a change of the job; what stood there is kept to take it back. */
async function move(job, title, to, where, remember) {
  try {
    const r = await fetch(`/api/v1/jobs/${job}`);
    if (!r.ok) throw new Error(String(r.status));
    const doc = await r.json();
    const stood = { day: get(doc, "/pour_date"), crew: get(doc, "/crew") };
    const sets = [];
    for (const [pointer, value, was] of [["/pour_date", to.day, stood.day], ["/crew", to.crew || null, stood.crew]]) if (value !== was) sets.push({ pointer, value, was });
    if (sets.length) {
      const put = await fetch(`/api/v1/jobs/${job}/changes/${store.newId()}`, { method: "PUT", headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ at: new Date().toISOString(), by: (await store.small("name")) ?? "", device: await store.device(), step: `Moved to ${where}`, sets }) });
      if (!put.ok) throw new Error((await put.json().catch(() => ({}))).detail ?? String(put.status));
    }
    if (remember) done.push({ job, title, stood });
    await look();
    says(`${title} is moved to ${where}.`);
    document.querySelector(`[data-job="${CSS.escape(job)}"] .grab`)?.focus();
  } catch (e) {
    says(`${title} is not moved: ${e.message}`);
  }
}

async function takeBack() {
  const last = done.pop();
  if (!last) return says("Nothing to take back.");
  await move(last.job, last.title, last.stood, "where it was", false);
}

/** Takes the week anew from the office. */
async function look() {
  const r = await fetch(location.href, { headers: { Accept: "text/html" } });
  if (!r.ok) return;
  const fresh = new DOMParser().parseFromString(await r.text(), "text/html");
  document.getElementById("weekbody").replaceWith(fresh.getElementById("weekbody"));
  document.getElementById("weekundo").disabled = done.length === 0;
  wire();
}
