/** A box for each side: type its length as spoken. The side keeps its direction and the others follow. */
import * as g from "./geometry.js";
import { sideName, locks } from "./outline.js";
import { side } from "../format.js";
import { read, showReading } from "../read.js";

const most = 16; // of an outline with more sides the rest are typed as tapes

/** Shows the boxes of the sides as they stand; a box in use is left alone. */
export function sideBoxes(sketch) {
  const place = sketch.root.querySelector('[data-part="sides"]');
  if (sketch.tool !== "outline") return;
  const c = sketch.corners;
  const sides = c.length < 3 ? [] : c.map((_, i) => i).slice(0, most);
  const wanted = sides.map((i) => sideName(c, i)).join();
  if (place.dataset.sides !== wanted) {
    place.dataset.sides = wanted;
    place.replaceChildren(...sides.map((i) => sideBox(sketch, i)));
  }
  for (const i of sides) {
    const box = place.querySelector(`#side-${i}`);
    if (!box || document.activeElement === box) continue;
    box.value = c[i].side ?? "";
    box.placeholder = side(g.distance(c[i], c[(i + 1) % c.length]), sketch.units);
    place.querySelector(`#side-${i}-free`).hidden = !c[i].side;
  }
}

function sideBox(sketch, i) {
  const name = sideName(sketch.corners, i);
  const row = document.createElement("div");
  row.className = "sidebox";
  const label = Object.assign(document.createElement("label"), { htmlFor: `side-${i}`, textContent: `Side ${name}` });
  const input = Object.assign(document.createElement("input"), { id: `side-${i}`, autocomplete: "off", spellcheck: false });
  const free = Object.assign(document.createElement("button"), { id: `side-${i}-free`, type: "button", className: "tool", textContent: "Let go", hidden: true });
  free.setAttribute("aria-label", `Let side ${name} go`);
  const out = document.createElement("output");
  out.className = "readback";
  out.id = `side-${i}-back`;
  input.setAttribute("aria-describedby", out.id);
  row.append(label, input, free, out);
  const settle = async () => {
    const text = input.value.trim();
    if (text === (sketch.corners[i].side ?? "")) return;
    if (!text) return letGo(sketch, i);
    const heard = await read({ pointer: "/site/corners/-/side", text, units: sketch.units });
    if (showReading(out, heard, (choice) => { input.value = choice?.value ?? choice; typed(sketch, i, input.value, heard.value_si, out); })) await typed(sketch, i, text, heard.value_si, out);
  };
  input.addEventListener("change", settle);
  input.addEventListener("keydown", (e) => e.key === "Enter" && settle());
  free.addEventListener("click", () => letGo(sketch, i));
  return row;
}

async function typed(sketch, i, text, metres, out) {
  const held = new Set(locks(sketch.corners).keys());
  held.delete(i);
  const ring = g.stretch(sketch.corners, i, metres, held);
  ring[i] = { ...ring[i], side: text };
  const off = g.misfits(ring, locks(sketch.corners).entries()).filter((m) => m.side !== i);
  const name = sideName(ring, i);
  sketch.corners = ring.map((c, k) => (off.some((m) => m.side === k) ? { ...c, side: null } : c));
  if (off.length) {
    const m = off[0];
    out.textContent += ` Side ${sideName(ring, m.side)} no longer fits what was typed, by ${side(Math.abs(m.off), sketch.units)}: tape it again.`;
  }
  await sketch.commit({ corner: i }, `Side ${name} to ${side(metres, sketch.units)}`);
}

async function letGo(sketch, i) {
  sketch.corners = sketch.corners.map((c, k) => (k === i ? { ...c, side: null } : c));
  await sketch.commit({ corner: i }, `Side ${sideName(sketch.corners, i)} let go`);
}
