/** The outline of the slab on the plan: corners, sides with their lengths, what was typed and what closes. */
import * as g from "./geometry.js";
import { el, path, along } from "./view.js";
import { side, exact, step, area } from "../format.js";

/** The corners of a job, in metres, from what the office answered. */
export function fromAnswer(result, doc) {
  const typed = doc?.site?.corners ?? [];
  const lengths = new Map(typed.filter((c) => c && !Array.isArray(c) && c.side).map((c) => [c.name, c.side]));
  const all = result?.corners ?? [];
  const bows = result?.bows ?? [];
  const between = (i) => bows.some((b) => i !== b.first && i !== b.last && (i - b.first + all.length) % all.length < (b.last - b.first + all.length) % all.length);
  return all.map((c, i) => ({ name: c.name, x: c.at.x, y: c.at.y, side: lengths.get(c.name) ?? null, bow: bows.find((b) => b.first === i)?.rise.value ?? 0 })).filter((_, i) => !between(i));
}

/** The edge as it is built: the corners, and points along its curves. */
export const edge = (corners) => corners.flatMap((c, i) => [c, ...(c.bow ? g.bow(c, corners[(i + 1) % corners.length], c.bow) : [])]);

/** The sets that put an outline into the job: two numbers for a plain rectangle, corners for anything else. */
export function toSets(corners, doc, units) {
  const ring = g.turned(corners);
  const plain = g.rectangle(ring);
  if (plain && !doc?.site?.corners && doc?.length && !ring.some((c) => c.side)) {
    return [{ pointer: "/length", value: exact(plain.length, units) }, { pointer: "/width", value: exact(plain.width, units) }];
  }
  const value = ring.map((c) => ({ name: c.name, x: exact(c.x, units), y: exact(c.y, units), ...(c.side ? { side: c.side } : {}) }));
  const sets = [{ pointer: "/site/corners", value }];
  for (const old of ["length", "width"]) if (doc?.[old]) sets.push({ pointer: `/${old}`, value: null });
  if (doc?.site?.tapes) sets.push({ pointer: "/site/tapes", value: null });
  return sets;
}

/** The sets that bow a side by a rise, in place of a curve it had; no rise makes it straight. */
export function bowSets(corners, i, rise, doc, units) {
  const name = sideName(corners, i);
  const had = (doc.site?.curves ?? []).findIndex((c) => c.side === name);
  const value = rise ? { side: name, rise: exact(rise, units) } : null;
  return !value && had < 0 ? [] : [{ pointer: `/site/curves/${had < 0 ? "-" : had}`, value }];
}

/** Typed sides by number, in metres; a typed side keeps its length when others are changed. */
export function locks(corners) {
  const out = new Map();
  corners.forEach((c, i) => c.side && out.set(i, g.distance(c, corners[(i + 1) % corners.length])));
  return out;
}

/** What one side is called. */
export const sideName = (corners, i) => corners[i].name + corners[(i + 1) % corners.length].name;

/** Draws slab, sides with their lengths, and corners. */
export function draw(view, corners, chosen, units, editable, chosenBow) {
  if (corners.length === 0) return [];
  const on = corners.map((c) => view.on(c));
  const out = [el("path", { class: "slab", d: path(edge(corners).map((c) => view.on(c)), corners.length > 2) })];
  const short = corners.length > 24;
  corners.forEach((c, i) => {
    if (corners.length < 2 || (corners.length === 2 && i === 1)) return;
    const a = on[i];
    const b = on[(i + 1) % on.length];
    if (editable) out.push(el("path", { class: "side", d: path([a, b]), "data-side": i }));
    const px = Math.hypot(a.x - b.x, a.y - b.y);
    if (px < 46 || (short && px < 70)) return;
    const says = side(g.distance(c, corners[(i + 1) % corners.length]), units) + (c.bow ? `, bowed ${side(c.bow, units)}` : "");
    if (editable && c.bow) {
      const top = view.on(g.apex(c, corners[(i + 1) % corners.length], c.bow));
      out.push(el("g", { class: `corner${chosenBow === i ? " chosen" : ""}`, "data-bow": i, tabindex: 0, role: "button", "aria-label": `Curve of side ${sideName(corners, i)}` },
        el("circle", { class: "hit", cx: top.x, cy: top.y, r: 24 }), el("circle", { class: "dot", cx: top.x, cy: top.y, r: 5 })));
    }
    out.push(along(a, b, c.side ? `${says} ●` : says, -18, c.side ? "label locked" : "label"));
  });
  corners.forEach((c, i) => {
    const out2 = outwards(corners, i);
    const group = el("g", { class: `corner${chosen === i ? " chosen" : ""}`, "data-corner": i, tabindex: editable ? 0 : null, role: editable ? "button" : null,
      "aria-label": editable ? `Corner ${c.name}` : null });
    const { x, y } = on[i];
    group.append(el("circle", { class: "hit", cx: x, cy: y, r: 24 }), el("circle", { class: "dot", cx: x, cy: y, r: short ? 3 : 7 }));
    group.append(el("text", { class: "letter", x: x + out2.x * 22, y: y - out2.y * 22 + 5, "text-anchor": "middle" }, c.name));
    out.push(group);
  });
  return out;
}

/** Where the letters of corners and the lengths of sides stand: other words keep off. */
export function taken(view, corners) {
  const on = corners.map((c) => view.on(c));
  return corners.flatMap((_, i) => {
    const way = outwards(corners, i);
    const next = on[(i + 1) % on.length];
    const m = { x: (on[i].x + next.x) / 2, y: (on[i].y + next.y) / 2 };
    return [{ x: on[i].x + way.x * 22 - 16, y: on[i].y - way.y * 22 - 16, w: 32, h: 32 }, { x: m.x - 40, y: m.y - 32, w: 80, h: 64 }];
  });
}

/** The way out of the slab at a corner, for its letter. */
function outwards(corners, i) {
  const n = corners.length;
  const p = corners[i];
  const a = corners[(i + n - 1) % n];
  const b = corners[(i + 1) % n];
  const u = unit(g.minus(p, a));
  const v = unit(g.minus(p, b));
  const s = g.plus(u, v);
  const way = n < 3 || Math.hypot(s.x, s.y) < 0.1 ? { x: u.y, y: -u.x } : unit(s);
  const reflex = n > 2 && (u.x * (b.y - p.y) - u.y * (b.x - p.x)) * Math.sign(g.area(corners) || 1) < 0;
  return reflex ? g.times(way, -1) : way;
}

const unit = (p) => {
  const l = Math.hypot(p.x, p.y) || 1;
  return { x: p.x / l, y: p.y / l };
};

/** A corner moved by one press of an arrow key. */
export function nudge(corners, i, key, large, units) {
  const by = step(units, large);
  const move = { ArrowLeft: { x: -by, y: 0 }, ArrowRight: { x: by, y: 0 }, ArrowUp: { x: 0, y: by }, ArrowDown: { x: 0, y: -by } }[key];
  return corners.map((c, k) => (k === i ? freed(corners, k, { ...c, ...g.plus(c, move) }) : k === (i + corners.length - 1) % corners.length ? { ...c, side: null } : c));
}

const freed = (corners, k, c) => ({ ...c, side: null });

/** A corner put elsewhere: the sides that meet there are no longer as typed. */
export function moved(corners, i, to) {
  const before = (i + corners.length - 1) % corners.length;
  return corners.map((c, k) => (k === i ? { ...c, x: to.x, y: to.y, side: null } : k === before ? { ...c, side: null } : c));
}

/** What is said of the outline: its size, and which typed lengths it cannot hold. */
export function says(corners, units) {
  if (corners.length < 3) return corners.length ? "Go on to the next corner. The outline closes near the first." : "Draw the outline: tap its corners one after another, or type length and width.";
  if (g.crosses(corners)) return "The outline crosses itself. Move a corner, or undo.";
  const text = `${corners.length} corners, ${area(Math.abs(g.area(edge(corners))), units)}.`;
  const free = corners.map((c, i) => i).filter((i) => !corners[i].side);
  if (free.length === 1) {
    const i = free[0];
    return `${text} Side ${sideName(corners, i)} closes it and comes to ${side(g.distance(corners[i], corners[(i + 1) % corners.length]), units)}.`;
  }
  return text;
}

/** The twin of the drawing: a table of corners and sides. */
export function table(corners, units) {
  const t = document.createElement("table");
  t.innerHTML = "<thead><tr><th scope=col>Corner</th><th scope=col>Right</th><th scope=col>Up</th><th scope=col>Side to the next</th></tr></thead>";
  const body = t.createTBody();
  corners.forEach((c, i) => {
    const row = body.insertRow();
    const next = corners[(i + 1) % corners.length];
    for (const text of [c.name, side(c.x, units), side(c.y, units), `${sideName(corners, i)}: ${side(g.distance(c, next), units)}${c.side ? ", typed" : ""}`]) row.insertCell().textContent = text;
  });
  return t;
}
