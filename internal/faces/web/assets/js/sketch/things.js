/** What stands, lies or runs on the lot: round things by their middle, lines and outlines by their points. */
import { el, path } from "./view.js";
import { exact } from "../format.js";

const round = { tree: 0.356, post: 0.15, lid: 0.6 };
const outlined = new Set(["building", "old slab"]);

export const isRound = (kind) => kind in round;

/** The things of the answer, each with its place in the document's list. */
export function fromAnswer(result) {
  return (result?.things ?? []).map((t, i) => ({ ...t, at: i, points: t.line ?? (t.centre ? [t.centre] : []) }));
}

/** A new thing of a kind, beside what is there. */
export function fresh(kind, centre, reach, name) {
  if (isRound(kind)) return { kind, name, points: [{ x: centre.x, y: centre.y + reach }], radius: round[kind] / 2 };
  if (outlined.has(kind)) {
    const [x, y] = [centre.x - 2.5, centre.y + reach];
    return { kind, name, points: [{ x, y }, { x: x + 5, y }, { x: x + 5, y: y + 3 }, { x, y: y + 3 }] };
  }
  return { kind, name, points: [{ x: centre.x - 4, y: centre.y - reach }, { x: centre.x + 4, y: centre.y - reach }] };
}

/** The row of the document for a thing; old is what was typed there, which keeps what is not drawn. */
export function toRow(thing, units, old) {
  const row = { ...(old ?? {}), kind: thing.kind, name: thing.name };
  if (isRound(thing.kind)) {
    row.x = exact(thing.points[0].x, units);
    row.y = exact(thing.points[0].y, units);
    if (!old?.across && !old?.stems) row.across = exact(2 * thing.radius, units);
  } else {
    row.line = thing.points.map((p) => ({ x: exact(p.x, units), y: exact(p.y, units) }));
  }
  return row;
}

/** A place for a name beside a thing: the first, of those along its points, where nothing else is written. It is written there then. */
function placed(view, on, text, taken) {
  const { w, h } = view.size();
  const wide = 7.5 * text.length;
  const spots = on.flatMap((p, k) => {
    const q = on[(k + 1) % on.length];
    const m = { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 };
    return [m, p].flatMap((s) => [{ x: s.x + 8, y: s.y - 8 }, { x: s.x + 8, y: s.y + 20 }, { x: s.x - wide - 8, y: s.y - 8 }, { x: s.x - wide - 8, y: s.y + 20 }]);
  });
  const free = (s) => s.x > 2 && s.x + wide < w - 2 && s.y > 14 && s.y < h - 24 && !taken.some((t) => s.x < t.x + t.w && s.x + wide > t.x && s.y - 13 < t.y + t.h && s.y + 4 > t.y);
  const spot = spots.find(free) ?? spots[0];
  taken.push({ x: spot.x, y: spot.y - 13, w: wide, h: 17 });
  return spot;
}

/** Draws the things, each of its points to be taken hold of; their names keep off what is written already. */
export function draw(view, things, chosen, editable, taken) {
  const out = [];
  things.forEach((t, i) => {
    const on = t.points.map((p) => view.on(p));
    if (on.length === 0) return;
    const group = el("g", { class: `thing ${t.kind.replaceAll(" ", "_")}${chosen?.thing === i ? " chosen" : ""}` });
    if (on.length === 1) group.append(el("circle", { class: "shape", cx: on[0].x, cy: on[0].y, r: Math.max(4, (t.radius || 0.1) * view.k) }));
    else group.append(el("path", { class: "shape", d: path(on, outlined.has(t.kind)) }));
    group.append(el("text", { class: "name", ...placed(view, on, t.name || t.kind, taken) }, t.name || t.kind));
    if (editable) {
      on.forEach((p, k) => {
        const held = chosen?.thing === i && chosen.point === k;
        group.append(el("circle", { class: "hit", cx: p.x, cy: p.y, r: 24, "data-thing": i, "data-point": k, tabindex: 0, role: "button",
          "aria-label": on.length === 1 ? t.name || t.kind : `${t.name || t.kind}, point ${k + 1}` }));
        if (held) group.append(el("circle", { class: "dot", cx: p.x, cy: p.y, r: 5 }));
      });
    }
    out.push(group);
  });
  return out;
}
