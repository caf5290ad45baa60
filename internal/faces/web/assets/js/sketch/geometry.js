/** Outlines on the plan: metres, x to the right, y up. Pure: nothing here touches the page. */

export const minus = (a, b) => ({ x: a.x - b.x, y: a.y - b.y });
export const plus = (a, b) => ({ x: a.x + b.x, y: a.y + b.y });
export const times = (a, k) => ({ x: a.x * k, y: a.y * k });
export const distance = (a, b) => Math.hypot(a.x - b.x, a.y - b.y);
export const middle = (a, b) => ({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 });

/** Area inside a ring; negative when it runs clockwise. */
export const area = (ring) => ring.reduce((sum, p, i) => {
  const q = ring[(i + 1) % ring.length];
  return sum + (p.x * q.y - q.x * p.y) / 2;
}, 0);

/** The ring counter-clockwise, its first corner first. */
export function turned(ring) {
  return area(ring) < 0 ? [ring[0], ...ring.slice(1).reverse()] : ring;
}

export const letter = (i) => String.fromCharCode(65 + (i % 26)) + (i >= 26 ? Math.floor(i / 26) : "");

/** A name no corner has yet. */
export function freeName(corners) {
  const taken = new Set(corners.map((c) => c.name));
  for (let i = 0; ; i++) if (!taken.has(letter(i))) return letter(i);
}

const snapAngle = (7 * Math.PI) / 180;

/**
 * The point drawn to from a corner, snapped so that the new side runs square or along the one before, when it lies within
 * 7 degrees of that.
 * @param {{x:number,y:number}} from @param {{x:number,y:number}} to @param {number} along angle sides are square to
 */
export function square(from, to, along) {
  const d = minus(to, from);
  const length = Math.hypot(d.x, d.y);
  if (length < 1e-9) return to;
  const turn = Math.atan2(d.y, d.x) - along;
  const nearest = (Math.round(turn / (Math.PI / 2)) * Math.PI) / 2;
  if (Math.abs(turn - nearest) > snapAngle) return to;
  const straight = length * Math.cos(turn - nearest);
  return { x: from.x + straight * Math.cos(along + nearest), y: from.y + straight * Math.sin(along + nearest) };
}

/** A dragged corner, snapped square to both its neighbours where it comes near that. */
export function squareCorner(ring, i, to) {
  const n = ring.length;
  const before = ring[(i + n - 1) % n];
  const after = ring[(i + 1) % n];
  const alongBefore = heading(ring[(i + n - 2) % n], before);
  const alongAfter = heading(ring[(i + 2) % n], after);
  const a = square(before, to, alongBefore);
  const b = square(after, to, alongAfter);
  const hitA = a !== to;
  const hitB = b !== to;
  if (hitA && hitB) {
    const cross = meet(before, minus(a, before), after, minus(b, after));
    if (cross && distance(cross, to) < 3 * Math.max(distance(a, to), distance(b, to)) + 1e-6) return cross;
  }
  return hitA ? a : hitB ? b : to;
}

export const heading = (a, b) => Math.atan2(b.y - a.y, b.x - a.x);

/** Where two lines cross; null when they run alongside each other. */
export function meet(p, u, q, v) {
  const det = u.x * v.y - u.y * v.x;
  if (Math.abs(det) < 1e-9) return null;
  const t = ((q.x - p.x) * v.y - (q.y - p.y) * v.x) / det;
  return plus(p, times(u, t));
}

/**
 * Gives side i a length: it keeps its direction, the corners after it follow, and the next free side that runs alongside it
 * takes up the difference. When none does, only the next corner moves and the side after it leans.
 * @param {Set<number>} locked sides whose length was typed
 */
export function stretch(ring, i, length, locked = new Set()) {
  const n = ring.length;
  const a = ring[i];
  const b = ring[(i + 1) % n];
  const now = distance(a, b);
  if (now < 1e-9) return ring;
  const u = times(minus(b, a), 1 / now);
  const move = times(u, length - now);
  const out = ring.map((c) => ({ ...c }));
  let absorbs = -1;
  for (let k = 1; k < n; k++) {
    const s = (i + k) % n;
    if (locked.has(s)) continue;
    const d = minus(ring[(s + 1) % n], ring[s]);
    const size = Math.hypot(d.x, d.y);
    if (size > 1e-9 && Math.abs(u.x * d.y - u.y * d.x) / size < 0.02) {
      absorbs = k;
      break;
    }
  }
  const last = absorbs < 0 ? 1 : absorbs;
  for (let k = 1; k <= last; k++) {
    const c = (i + k) % n;
    out[c] = { ...out[c], ...plus(ring[c], move) };
  }
  return out;
}

/** The sides that a typed length could not hold, with how far off they are. */
export function misfits(ring, locks) {
  const out = [];
  for (const [i, wanted] of locks) {
    const off = distance(ring[i], ring[(i + 1) % ring.length]) - wanted;
    if (Math.abs(off) > 0.0032) out.push({ side: i, off });
  }
  return out;
}

const chordError = 0.003; // between the drawn chords and the curve: an eighth of an inch, finer than anybody sees

/**
 * Points of the arc that bows side a-b out by a rise at its middle (in, where negative), ends left out.
 */
export function bow(a, b, rise) {
  const chord = distance(a, b);
  if (Math.abs(rise) < 1e-6 || chord < 1e-6) return [];
  const r = (chord * chord) / (8 * Math.abs(rise)) + Math.abs(rise) / 2;
  const half = rise > 0 && Math.abs(rise) > chord / 2 || Math.abs(rise) > chord / 2 ? Math.PI - Math.asin(chord / (2 * r)) : Math.asin(chord / (2 * r));
  const pieces = Math.max(2, Math.ceil((2 * half) / (2 * Math.acos(Math.max(0, 1 - chordError / r)))));
  const out = [];
  const u = times(minus(b, a), 1 / chord);
  const right = { x: u.y, y: -u.x }; // outwards of a ring that runs counter-clockwise
  const m = middle(a, b);
  const centre = plus(m, times(right, Math.sign(rise) * (Math.abs(rise) - r)));
  const begin = heading(centre, a);
  const turn = Math.sign(rise) * 2 * half;
  for (let k = 1; k < pieces; k++) {
    const t = begin + (turn * k) / pieces;
    out.push({ x: centre.x + r * Math.cos(t), y: centre.y + r * Math.sin(t) });
  }
  return out;
}

/** The rise of a bow of some radius over a chord; null when the radius is too small to reach. */
export function riseOf(chord, radius) {
  return radius < chord / 2 ? null : radius - Math.sqrt(radius * radius - (chord * chord) / 4);
}

/** The middle of the arc of a bowed side. */
export function apex(a, b, rise) {
  const l = distance(a, b) || 1;
  return plus(middle(a, b), { x: ((b.y - a.y) / l) * rise, y: (-(b.x - a.x) / l) * rise });
}

/**
 * The rise of the arc over side a-b that runs through a third point; below zero on the inside, nought on the side itself, null past
 * its ends where no arc of less than a whole circle is meant.
 */
export function riseThrough(a, b, p) {
  const chord = distance(a, b);
  if (chord < 1e-6) return null;
  const u = times(minus(b, a), 1 / chord);
  const d = minus(p, a);
  const along = d.x * u.x + d.y * u.y;
  const out = d.x * u.y - d.y * u.x;
  if (along <= 0 || along >= chord) return null;
  if (Math.abs(out) < 1e-6) return 0;
  const centre = (along * along + out * out - along * chord) / (2 * out); // of the circle, outwards of the side
  const r = Math.hypot(centre, chord / 2);
  return centre + Math.sign(out) * r;
}

/** Whether a ring is a rectangle that stands straight, its first corner at the lower left; its two sides when it is. */
export function rectangle(ring) {
  if (ring.length !== 4) return null;
  const [a, b, c, d] = ring;
  const e = 1e-4;
  const straight = Math.abs(a.y - b.y) < e && Math.abs(b.x - c.x) < e && Math.abs(c.y - d.y) < e && Math.abs(d.x - a.x) < e && b.x > a.x && d.y > a.y;
  return straight && Math.abs(a.x) < e && Math.abs(a.y) < e ? { length: b.x - a.x, width: d.y - a.y } : null;
}

/** Whether a ring crosses itself. */
export function crosses(ring) {
  const n = ring.length;
  for (let i = 0; i < n; i++) {
    for (let j = i + 2; j < n; j++) {
      if (i === 0 && j === n - 1) continue;
      if (cut(ring[i], ring[(i + 1) % n], ring[j], ring[(j + 1) % n])) return true;
    }
  }
  return false;
}

function cut(a, b, c, d) {
  const side = (p, q, r) => (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}
