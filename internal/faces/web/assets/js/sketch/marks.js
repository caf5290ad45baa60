/** Other things a screen lets a person place on the plan: levels, joints, stands for the truck, the parked trailer. */
import { el, path } from "./view.js";
import { side } from "../format.js";

/** Levels read on the ground. */
export function levels(view, ground, low, units) {
  return ground.map((s, i) => {
    const p = view.on(s.at);
    const text = units === "metric" ? s.elevation.toFixed(3) : (s.elevation / 0.3048).toFixed(2);
    return el("g", { class: "level" }, el("path", { class: "scalebar", d: `M${p.x - 6} ${p.y}h12M${p.x} ${p.y - 6}v12` }), el("text", { class: "name", x: p.x + 8, y: p.y - 6 }, `${s.name || i + 1}: ${text}`));
  });
}

/** Joints, to be dragged sideways. */
export function joints(view, cuts, chosen, units) {
  return cuts.map((c, i) => {
    const [a, b] = [view.on(c.line.a), view.on(c.line.b)];
    const group = el("g", { class: chosen === i ? "chosen" : "", "data-joint": i, tabindex: 0, role: "button", "aria-label": `Joint ${c.number}, ${c.kind}, ${side(c.tape ?? 0, units)} from the corner${c.pinned ? ", held" : ""}` });
    group.append(el("path", { class: `joint shape${c.pinned ? " pinned" : ""}`, d: path([a, b]) }), el("path", { class: "side", d: path([a, b]) }));
    const m = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
    group.append(el("text", { class: "name", x: m.x + 7, y: m.y - 7 }, side(c.tape ?? 0, units)));
    return group;
  });
}

/** Where the end of the truck can stand, with the reach of its chute. */
export function stands(view, list, reach, chosen) {
  const reaches = !reach ? [] : list.map((s) => view.on(s)).map((p) => el("circle", { class: "reach", cx: p.x, cy: p.y, r: reach * view.k }));
  return reaches.concat(list.map((s, i) => {
    const p = view.on(s);
    return el("g", { class: `stand${chosen === i ? " chosen" : ""}`, "data-stand": i, tabindex: 0, role: "button", "aria-label": `Truck stand ${s.name || i + 1}` },
      el("rect", { class: "truck shape", x: p.x - 9, y: p.y - 9, width: 18, height: 18 }),
      el("text", { class: "name", x: p.x + 13, y: p.y + 4 }, s.name || `stand ${i + 1}`), el("circle", { class: "hit", cx: p.x, cy: p.y, r: 24 }));
  }));
}

/** The middle of a parked vehicle's front. */
export const nose = (v) => ({ x: v.x + (v.length / 2) * Math.cos(v.heading), y: v.y + (v.length / 2) * Math.sin(v.heading) });

/** The vehicle where it shall stand, with a grip at its front that turns it. */
export function parked(view, v, chosen) {
  if (!v) return [];
  const [l, w] = [v.length / 2, v.width / 2];
  const corner = (x, y) => view.on({ x: v.x + x * Math.cos(v.heading) - y * Math.sin(v.heading), y: v.y + x * Math.sin(v.heading) + y * Math.cos(v.heading) });
  const p = view.on(v);
  const front = view.on(nose(v));
  return [el("g", { class: chosen?.parked === 0 ? "chosen" : "", "data-parked": 0, tabindex: 0, role: "button", "aria-label": "Parked trailer" },
    el("path", { class: "truck shape", d: path([corner(-l, -w), corner(l - 1, -w), corner(l, 0), corner(l - 1, w), corner(-l, w)], true) }),
    el("text", { class: "name", x: p.x + 8, y: p.y - 8 }, "parked"), el("circle", { class: "hit", cx: p.x, cy: p.y, r: 28 })),
  el("g", { class: `corner${chosen?.nose === 0 ? " chosen" : ""}`, "data-nose": 0, tabindex: 0, role: "button", "aria-label": "Front of the parked trailer: arrow keys turn it" },
    el("circle", { class: "hit", cx: front.x, cy: front.y, r: 24 }), el("circle", { class: "dot", cx: front.x, cy: front.y, r: 6 }))];
}

/** Where photos were taken. */
export function shots(view, list, chosen) {
  return list.map((s) => {
    const p = view.on(s);
    return el("g", { class: `stand${chosen === s.at ? " chosen" : ""}`, "data-shot": s.at, tabindex: 0, role: "button", "aria-label": `Photo ${s.name}` },
      el("circle", { class: "truck shape", cx: p.x, cy: p.y, r: 8 }), el("text", { class: "letter", x: p.x + 12, y: p.y + 5 }, s.name), el("circle", { class: "hit", cx: p.x, cy: p.y, r: 24 }));
  });
}
