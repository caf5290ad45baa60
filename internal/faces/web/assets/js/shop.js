/** The shop's lists: each box is read as it is left and read back under it; the form itself is sent whole. */
import { read, showReading } from "./read.js";
import * as store from "./store.js";

export async function shopForm() {
  const form = document.getElementById("shopform");
  if (!form) return;
  form.elements.by.value = (await store.small("name")) ?? "";
  document.getElementById("who-name").addEventListener("change", (e) => (form.elements.by.value = e.target.value.trim()));
  form.addEventListener("change", (e) => {
    const box = e.target.closest(".box[data-pointer]");
    if (box && e.target.matches("input:not([type=hidden])")) heard(form, box, e.target);
  });
  let dirty = false;
  form.addEventListener("input", () => (dirty = true));
  form.addEventListener("submit", () => (dirty = false));
  addEventListener("beforeunload", (e) => dirty && e.preventDefault());
  document.body.dataset.ready = "yes";
}

async function heard(form, box, input) {
  const { pointer } = box.dataset;
  const out = box.querySelector(".readback");
  const text = input.value.trim();
  sure(form, pointer, false);
  if (!text) return out.replaceChildren();
  const reading = await read({ pointer, text, of: "shop", units: document.body.dataset.units });
  const good = showReading(out, reading, (choice) => {
    const keep = typeof choice === "object";
    input.value = keep ? choice.value : choice;
    if (!keep) return heard(form, box, input);
    sure(form, pointer, true);
    out.textContent = "Kept as typed.";
  });
  input.setAttribute("aria-invalid", String(Boolean(reading.stop)));
  box.classList.toggle("held", !good);
}

/** Notes that a person is sure of an unusual value. */
function sure(form, pointer, yes) {
  const name = `sure:${pointer}`;
  form.querySelector(`input[name="${CSS.escape(name)}"]`)?.remove();
  if (yes) form.append(Object.assign(document.createElement("input"), { type: "hidden", name, value: "yes" }));
}
