/** Boxes to type in: read on leaving, read back under the box, kept as a change. */
import { get } from "./doc.js";
import { read, showReading } from "./read.js";

export function boxes(job, page) {
  document.addEventListener("change", (e) => {
    const box = e.target.closest(".box[data-pointer]");
    if (box && e.target.matches("input,select") && page.kind === "job") settle(box, e.target, job, page);
  });
  document.addEventListener("keydown", (e) => {
    if (e.key === "Enter" && e.target.matches(".box[data-pointer] input")) e.target.blur();
  });
}

async function settle(box, input, job, page) {
  const { pointer, label } = box.dataset;
  const text = input.value.trim();
  const out = box.querySelector(".readback");
  if (text === plain(get(job.doc, pointer))) return out.replaceChildren();
  if (!text) {
    out.replaceChildren();
    box.classList.remove("held");
    return job.change(`${label} taken out`, [{ pointer, value: null }]);
  }
  const heard = input.matches("select") ? {} : await read({ pointer, text, units: page.units });
  const use = (value) => {
    box.classList.remove("held");
    return job.change(`${label} to ${plain(value)}`, [{ pointer, value }]);
  };
  const good = showReading(out, heard, (choice) => {
    input.value = plain(choice);
    if (typeof choice !== "object") return settle(box, input, job, page);
    out.replaceChildren();
    return use(choice);
  });
  box.classList.toggle("held", !good);
  input.setAttribute("aria-invalid", String(Boolean(heard.stop)));
  if (good) await use(text);
}

/** A value as typed: of its long form ("yes, I am sure") the value itself. */
const plain = (v) => (v === null || v === undefined ? "" : v === true ? "yes" : v === false ? "no" : typeof v === "object" ? plain(v.value) : String(v));

/** Writes what stands in the document into the boxes, a box in use left alone. */
export function refill(job) {
  for (const box of document.querySelectorAll(".box[data-pointer]")) {
    const input = box.querySelector("input,select");
    if (!input || input === document.activeElement || box.classList.contains("held")) continue;
    const stands = get(job.doc, box.dataset.pointer);
    const text = plain(stands);
    if (input.value !== text && (input.matches("input") || [...input.options].some((o) => o.value === text))) input.value = text;
  }
}
