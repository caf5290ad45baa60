/** Wires one page: everything works without this file; with it the page is live. */
import { Job } from "./job.js";
import { Sketch } from "./sketch/sketch.js";
import { bow } from "./sketch/bow.js";
import { boxes, refill } from "./boxes.js";
import { lists, addRow, refillLists } from "./lists.js";
import { refresh } from "./parts.js";
import { loadPictures } from "./pictures.js";
import { whyLinks } from "./why.js";
import { works } from "./work.js";
import { startSlider } from "./start.js";
import { stamps } from "./stamps.js";
import { photos } from "./photos.js";
import { bars } from "./bars.js";
import { ask } from "./ask.js";
import { reading } from "./read.js";

const body = document.body;
const kind = body.dataset.page;

if (kind === "first") import("./first.js").then((m) => m.firstPage());
if (kind === "settings") import("./settings.js").then((m) => m.settings());
if (kind === "settings") import("./shop.js").then((m) => m.shopForm());
if (kind === "week") import("./week.js").then((m) => m.weekPage());
if (kind === "job") jobPage();
const worker = "serviceWorker" in navigator && window.isSecureContext ? navigator.serviceWorker.register("/sw.js").catch(() => null) : Promise.resolve(null);

async function jobPage() {
  const job = new Job(body.dataset.job);
  const page = { kind, units: body.dataset.units, locale: navigator.language, stages: body.dataset.stages.split(" ").filter((s) => !["hold", "backing"].includes(s)), addRow, bow: (s) => bow(s) };
  Object.assign(page, bars(job, page));
  page.refresh = () => refresh(page);
  window.slabwright = { job, page, reading }; // for tests and the curious
  job.revision = Number(body.dataset.revision) || 0;
  boxes(job, page);
  whyLinks();
  loadPictures();
  const root = document.getElementById("sketch");
  const sketch = root ? new Sketch(root, job, page) : null;
  if (sketch) page.sketch = sketch;

  let again = null;
  const whole = () => {
    clearTimeout(again);
    again = setTimeout(async () => {
      await page.refresh();
      if (sketch && !sketch.dragging && !sketch.drawing && !sketch.keyed) {
        const view = { k: sketch.view.k, centre: sketch.view.centre };
        const then = job.count;
        const fresh = await ask(job, { joints: ["site", "joints"], places: ["site", "access"] }[sketch.tool] ?? ["site"]).catch(() => null);
        if (fresh && then === job.count && !sketch.dragging && !sketch.keyed) { // older places never replace newer ones
          const empty = sketch.corners.length === 0;
          sketch.take(fresh);
          if (empty) sketch.fit();
          else {
            Object.assign(sketch.view, view);
            sketch.draw();
          }
        }
      }
    }, 30);
  };
  job.addEventListener("changed", () => { page.changedAt = performance.now(); refill(job); refillLists(); });
  job.addEventListener("sent", whole);
  job.addEventListener("elsewhere", () => { refill(job); refillLists(); whole(); });
  await job.load();
  if (Number(body.dataset.revision) < job.revision || job.waiting) whole(); // this page was kept from before
  refill(job);
  lists(job, page);
  works(job, page);
  startSlider(job, page);
  stamps(job, page);
  photos(job, page);
  if (sketch) await sketch.load();
  job.listen();
  rank(page);
  keepAtHand(job);
  body.dataset.ready = "yes";
}

/** Which guess moves the answer most takes seconds to find: it comes when it is ready. */
async function rank(page) {
  const place = document.querySelector("[data-rank]");
  if (!place) return;
  const says = place.querySelector(".says");
  says.textContent = "Finding out which of them moves the answer most.";
  const r = await fetch(place.dataset.rank).catch(() => null);
  if (!r?.ok) return (says.textContent = "No signal: the order is by question.");
  const fresh = new DOMParser().parseFromString(await r.text(), "text/html");
  if (document.activeElement?.closest(".assumedlist")) return page.announce("Ranked. Open the page again to see it.");
  for (const [i, old] of [...document.querySelectorAll("section.assumedlist")].entries()) old.replaceWith(fresh.querySelectorAll("section.assumedlist")[i]);
}

/** Keeps the job's screens on this device for when there is no signal, and takes a newer page when nothing is under way. */
async function keepAtHand(job) {
  const w = await worker;
  if (!w) return;
  if (w.waiting && job.waiting === 0 && body.dataset.screen !== "pour") w.waiting.postMessage("take over");
  await navigator.serviceWorker.ready;
  if (!navigator.serviceWorker.controller) w.active?.postMessage("look after me"); // it began while this page was on its way
  const later = window.requestIdleCallback ?? ((f) => setTimeout(f, 1500));
  later(() => w.active?.postMessage({ keep: [location.pathname, ...[...document.querySelectorAll(".index a")].map((a) => a.pathname)] }), { timeout: 4000 });
}
