/** The plan as an SVG drawing, always to scale. It draws what it is given and knows no rule. */

const space = "http://www.w3.org/2000/svg";

/** An SVG element with attributes and children. */
export function el(name, attributes = {}, ...children) {
  const e = document.createElementNS(space, name);
  for (const [k, v] of Object.entries(attributes)) if (v !== null && v !== undefined) e.setAttribute(k, v);
  e.append(...children);
  return e;
}

/** What the plan shows of the site: metres on the site to pixels on the screen and back. */
export class View {
  constructor(svg) {
    this.svg = svg;
    this.k = 30;
    this.centre = { x: 6, y: 3 };
  }

  size() {
    return { w: this.svg.clientWidth || 320, h: this.svg.clientHeight || 320 };
  }

  /** A place of the site on the screen. */
  on(p) {
    const { w, h } = this.size();
    return { x: w / 2 + (p.x - this.centre.x) * this.k, y: h / 2 - (p.y - this.centre.y) * this.k };
  }

  /** The place of the site under a pointer. */
  under(event) {
    const box = this.svg.getBoundingClientRect();
    const { w, h } = this.size();
    return { x: this.centre.x + (event.clientX - box.left - w / 2) / this.k, y: this.centre.y - (event.clientY - box.top - h / 2) / this.k };
  }

  /** Shows all the points, with room for lettering. */
  fit(points) {
    if (points.length === 0) return;
    const xs = points.map((p) => p.x);
    const ys = points.map((p) => p.y);
    const { w, h } = this.size();
    const wide = Math.max(Math.max(...xs) - Math.min(...xs), 1);
    const high = Math.max(Math.max(...ys) - Math.min(...ys), 1);
    this.k = Math.min((w - 96) / wide, (h - 110) / high);
    this.centre = { x: (Math.max(...xs) + Math.min(...xs)) / 2, y: (Math.max(...ys) + Math.min(...ys)) / 2 };
  }

  zoom(by) {
    this.k = Math.min(2000, Math.max(0.5, this.k * by));
  }
}

export const path = (points, closed) => points.map((p, i) => `${i ? "L" : "M"}${p.x.toFixed(1)} ${p.y.toFixed(1)}`).join("") + (closed ? "Z" : "");

/** A grid of one foot or half a metre, coarser when far away, and a scale bar in words. */
export function grid(view, units) {
  const { w, h } = view.size();
  const unit = units === "metric" ? 0.5 : 0.3048;
  let step = unit;
  const ladder = [1, 2, 5, 10, 20, 50, 100, 200, 500];
  for (const m of ladder) {
    step = unit * m;
    if (step * view.k >= 14) break;
  }
  const low = { x: view.centre.x - w / 2 / view.k, y: view.centre.y - h / 2 / view.k };
  let d = "";
  for (let x = Math.ceil(low.x / step) * step; x < low.x + w / view.k; x += step) {
    const s = view.on({ x, y: 0 }).x.toFixed(1);
    d += `M${s} 0V${h}`;
  }
  for (let y = Math.ceil(low.y / step) * step; y < low.y + h / view.k; y += step) {
    const s = view.on({ x: 0, y }).y.toFixed(1);
    d += `M0 ${s}H${w}`;
  }
  let bar = unit;
  for (const m of ladder) {
    bar = unit * m;
    if (bar * view.k >= 60) break;
  }
  const wide = bar * view.k;
  const says = units === "metric" ? `${Math.round(bar * 100) / 100} m` : `${Math.round(bar / 0.3048)} ft`;
  return [el("path", { class: "grid", d }), el("path", { class: "scalebar", d: `M12 ${h - 18}v8h${wide.toFixed(1)}v-8` }), el("text", { x: 18 + wide, y: h - 10, class: "name" }, says)];
}

/** Lettering beside a line, upright whichever way the line runs. */
export function along(a, b, text, off, cls) {
  let angle = (Math.atan2(b.y - a.y, b.x - a.x) * 180) / Math.PI;
  const flip = angle > 91 || angle < -89;
  if (flip) angle += 180;
  const length = Math.hypot(b.x - a.x, b.y - a.y) || 1;
  const nx = ((b.y - a.y) / length) * off;
  const ny = (-(b.x - a.x) / length) * off;
  const x = (a.x + b.x) / 2 - nx;
  const y = (a.y + b.y) / 2 - ny;
  return el("text", { class: cls, transform: `translate(${x.toFixed(1)} ${y.toFixed(1)}) rotate(${angle.toFixed(1)})`, y: 5 }, text);
}
