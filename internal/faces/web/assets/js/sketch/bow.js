/** Bows a side: by its radius, or by the rise of its middle. */
import * as g from "./geometry.js";
import { sideName, bowSets } from "./outline.js";
import { read } from "../read.js";
import { side } from "../format.js";

export function bow(sketch) {
  const c = sketch.corners;
  if (c.length < 3) return;
  const d = document.createElement("dialog");
  d.className = "whypanel";
  d.setAttribute("aria-label", "Bow a side");
  d.innerHTML = `<form method="dialog"><h2>Bow a side</h2>
<div class="boxes"><div class="box"><label for="bow-side">Side</label><select id="bow-side"></select></div>
<div class="box"><label for="bow-how">Say its</label><select id="bow-how"><option value="rise">rise in the middle</option><option value="radius">radius</option><option value="point">third point, on the plan</option></select></div>
<div class="box"><label for="bow-much">How much</label><input id="bow-much" autocomplete="off"><output class="readback"></output></div>
<div class="box"><label for="bow-way">It bows</label><select id="bow-way"><option value="out">outwards</option><option value="in">inwards</option></select></div></div>
<p>The curve is set out as points a crew can stake.</p>
<p><button class="button main" value="bow">Bow it</button> <button class="button" value="straight">Make it straight</button> <button class="button" value="no">Leave it</button></p></form>`;
  const pick = d.querySelector("#bow-side");
  c.forEach((_, i) => pick.append(new Option(`${sideName(c, i)}, ${side(g.distance(c[i], c[(i + 1) % c.length]), sketch.units)}`, i)));
  if (sketch.chosen?.corner !== undefined) pick.value = sketch.chosen.corner;
  document.body.append(d);
  d.addEventListener("close", () => d.remove());
  d.querySelector("form").addEventListener("submit", async (e) => {
    const i = Number(pick.value);
    if (e.submitter?.value === "straight") apply(sketch, i, 0);
    if (e.submitter?.value !== "bow") return;
    e.preventDefault();
    if (d.querySelector("#bow-how").value === "point") {
      d.close();
      return sketch.bowNext(i);
    }
    const chord = g.distance(c[i], c[(i + 1) % c.length]);
    const heard = await read({ pointer: "/length", text: d.querySelector("#bow-much").value, units: sketch.units });
    const m = heard.value_si;
    const out = d.querySelector("output");
    if (!(m > 0)) return (out.textContent = heard.stop?.type_this ?? "Type how much, like 2 ft.");
    const rise = d.querySelector("#bow-how").value === "rise" ? m : g.riseOf(chord, m);
    if (rise === null) return (out.textContent = `That radius does not reach: half the side is ${side(chord / 2, sketch.units)}.`);
    apply(sketch, i, d.querySelector("#bow-way").value === "in" ? -rise : rise);
    d.close();
  });
  d.showModal();
}

/** Puts the curve into the job, in place of one the side had; no rise makes it straight. */
function apply(sketch, i, rise) {
  const name = sideName(sketch.corners, i);
  const sets = bowSets(sketch.corners, i, rise, sketch.job.doc, sketch.units);
  if (sets.length) sketch.job.change(rise ? `Side ${name} bowed by ${side(Math.abs(rise), sketch.units)}` : `Side ${name} made straight`, sets);
}
