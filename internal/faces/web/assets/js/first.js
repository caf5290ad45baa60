/** The first page: the picture follows the three boxes, and the yards stand in it before anything is sent. */
import { read, showReading } from "./read.js";

export function firstPage() {
  const form = document.getElementById("start");
  const values = {};
  const units = () => form.elements.units.value;
  const settle = async (box) => {
    const input = box.querySelector("input");
    const text = input.value.trim();
    const out = box.querySelector(".readback");
    const name = input.name;
    delete values[name];
    if (!text) return out.replaceChildren();
    const heard = await read({ pointer: box.dataset.pointer, text, units: units() });
    const good = showReading(out, heard, (choice) => {
      if (typeof choice === "object") { out.replaceChildren(); values[name] = heard.value_si; draw(values); return; }
      input.value = choice;
      settle(box);
    });
    if (good && heard.value_si) values[name] = heard.value_si;
    draw(values);
  };
  for (const box of form.querySelectorAll(".box")) box.addEventListener("change", () => settle(box));
  for (const u of form.elements.units) {
    u.addEventListener("change", () => {
      const us = units() === "us";
      for (const [name, a, b] of [["length", "ft", "m"], ["width", "ft", "m"], ["thickness", "in", "mm"]]) document.getElementById(`unit-${name}`).textContent = us ? a : b;
      for (const box of form.querySelectorAll(".box")) settle(box);
    });
  }
}

/** The slab to scale in the picture, its sides lettered. */
function draw({ length, width }) {
  if (!length || !width) return;
  const svg = document.querySelector("#first-picture svg");
  const k = Math.min(260 / length, 130 / width);
  const [w, h] = [length * k, width * k];
  const [x, y] = [200 - w / 2, 120 - h / 2];
  const [slab, dims] = svg.querySelectorAll("path");
  slab.setAttribute("d", `M${x} ${y}h${w}v${h}h${-w}z`);
  dims.setAttribute("d", `M${x} ${y + h + 22}h${w}M${x} ${y + h + 15}v14M${x + w} ${y + h + 15}v14M${x + w + 20} ${y}v${h}M${x + w + 13} ${y}h14M${x + w + 13} ${y + h}h14`);
  const letter = (name, lx, ly) => {
    const t = svg.querySelector(`[data-dim="${name}"]`);
    t.setAttribute("x", lx);
    t.setAttribute("y", ly);
    t.textContent = document.getElementById(`box-${name}`).value;
  };
  letter("length", 200, y + h + 44);
  letter("width", x + w + 30, 125);
}
