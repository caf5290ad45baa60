/** The start of the pour: a slider a finger drags and arrow keys move; coarse answers on the way, the whole one after. */
import { coarse } from "./ask.js";
import { clock } from "./format.js";
import { get } from "./doc.js";

const pointer = "/first_truck";

export function startSlider(job, page) {
  const slider = document.getElementById("startat");
  if (!slider) return;
  const out = document.getElementById("startclock");
  const show = () => {
    out.textContent = clock(Number(slider.value), page.locale);
    slider.setAttribute("aria-valuetext", out.textContent);
  };
  const typed = () => `${String(Math.floor(slider.value / 60)).padStart(2, "0")}:${String(slider.value % 60).padStart(2, "0")}`;
  let theirs = 0; // moves of the person's that are not in the document yet: what they set stands until then
  const set = () => {
    if (theirs) return;
    slider.value = minutesOf(get(job.doc, pointer)) ?? 420;
    show();
  };
  slider.addEventListener("pointerdown", () => theirs++);
  for (const end of ["pointerup", "pointercancel"]) slider.addEventListener(end, () => (theirs = Math.max(0, theirs - 1)));
  slider.addEventListener("input", () => {
    show();
    coarse(job, page.stages, [{ pointer, value: typed() }]);
  });
  slider.addEventListener("change", async () => {
    theirs++;
    await job.change(`First truck at ${out.textContent}`, [{ pointer, value: typed() }]).finally(() => theirs--);
    set();
  });
  job.addEventListener("changed", set);
  job.addEventListener("elsewhere", set);
  set();
  forecast(job, page);
}

/** Minutes after midnight of a time as this page or a person writes it; null when it is left to the office to read. */
export function minutesOf(text) {
  const m = /^(\d{1,2})(?::?(\d{2}))?\s*(am?|pm?)?$/i.exec(String(text ?? "").trim());
  if (!m) return null;
  let h = Number(m[1]);
  if (/^p/i.test(m[3] ?? "") && h < 12) h += 12;
  return h * 60 + Number(m[2] ?? 0);
}

function forecast(job, page) {
  const input = document.getElementById("forecastfile");
  const says = document.getElementById("forecastsays");
  input?.addEventListener("change", async () => {
    const file = input.files[0];
    if (!file) return;
    const name = "forecast.csv";
    try {
      const r = await fetch(`/api/v1/jobs/${job.id}/attachments/${name}`, { method: "PUT", headers: { "Content-Type": "text/csv" }, body: file });
      if (!r.ok) {
        const p = await r.json().catch(() => ({}));
        says.textContent = [p.detail ?? p.title ?? "It could not be read.", p.errors?.[0]?.type_this].filter(Boolean).join(" ");
        return;
      }
      says.textContent = `${file.name} is in.`;
      if (get(job.doc, "/forecast_file") !== name) await job.change("Forecast brought", [{ pointer: "/forecast_file", value: name }]);
      else page.refresh();
    } catch {
      says.textContent = "No signal. Bring the forecast when there is signal.";
    }
  });
}
