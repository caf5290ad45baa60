/** The plan a person draws on: hand, mouse and keys do the same things, and every drag has a twin in taps and typing. */
import * as g from "./geometry.js";
import * as outline from "./outline.js";
import * as things from "./things.js";
import * as marks from "./marks.js";
import { View, grid, el, path } from "./view.js";
import { side, exact, step, metresOf } from "../format.js";
import { ask, coarse } from "../ask.js";
import { sideBoxes } from "./sides.js";
import { get } from "../doc.js";

/** What a hand can take hold of on the plan. */
const kinds = ["corner", "bow", "thing", "joint", "stand", "parked", "nose", "shot"];
const holds = kinds.map((k) => `[data-${k}]`).join();

export class Sketch {
  constructor(root, job, page) {
    Object.assign(this, { root, job, page, units: page.units, tool: root.dataset.tool });
    this.svg = root.querySelector("svg.plan");
    this.view = new View(this.svg);
    this.says = root.querySelector("#sketch-says");
    this.mode = "select";
    this.corners = [];
    this.things = [];
    this.ground = [];
    this.cuts = [];
    this.stands = [];
    this.shots = [];
    this.chosen = null;
    this.snap = true;
    this.listen();
    new ResizeObserver(() => this.fit()).observe(this.svg);
  }

  /** Brings what the office worked out onto the plan. */
  async load() {
    const questions = { joints: ["site", "joints"], places: ["site", "access"] }[this.tool] ?? ["site"];
    const answer = await ask(this.job, questions).catch(() => null);
    if (!answer) return this.draw();
    this.take(answer);
    this.fit();
  }

  /** Takes the places out of an answer. */
  take(answer) {
    const site = answer.stages?.site?.result;
    const doc = this.job.doc;
    this.corners = outline.fromAnswer(site, doc);
    this.things = things.fromAnswer(site);
    this.ground = site?.ground ?? [];
    const joints = answer.stages?.joints?.result;
    this.cuts = joints?.cuts ?? [];
    this.stands = (doc.access?.stands ?? []).length ? answer.stages?.access?.result?.stands?.map((s, i) => ({ ...s, name: doc.access.stands[i]?.name ?? doc.access.stands[i]?.[2] })) ?? [] : [];
    this.reach = answer.stages?.access?.result?.useful_reach ?? this.reach;
    this.readParked();
    this.shots = (get(doc, "/record/photos") ?? []).map((p, i) => ({ at: i, name: `P${i + 1}`, x: metresOf(p.x, this.units), y: metresOf(p.y, this.units) })).filter((p) => Number.isFinite(p.x) && Number.isFinite(p.y));
  }

  /** The trailer stands where the job says, and its front points where the job says. */
  readParked() {
    const p = get(this.job.doc, "/backing/parked");
    const [length, width] = (this.root.dataset.vehicle ?? "8 2.5").split(" ").map(Number);
    const heading = ((Number.parseFloat(p?.heading) || 0) * Math.PI) / 180;
    this.parked = p?.x !== undefined && p?.y !== undefined ? { x: metresOf(p.x, this.units), y: metresOf(p.y, this.units), heading, length, width } : null;
  }

  fit() {
    this.view.fit([...this.corners, ...this.things.flatMap((t) => t.points.filter((p) => this.near(p))), ...this.stands]);
    this.draw();
  }

  /** Far things (a long fence, a street) do not make the slab small. */
  near(p) {
    if (this.corners.length < 2) return true;
    const xs = this.corners.map((c) => c.x);
    const ys = this.corners.map((c) => c.y);
    const room = 0.35 * Math.max(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)) + 2;
    return p.x > Math.min(...xs) - room && p.x < Math.max(...xs) + room && p.y > Math.min(...ys) - room && p.y < Math.max(...ys) + room;
  }

  draw() {
    const held = document.activeElement?.closest?.(holds);
    const key = held && this.svg.contains(held) ? selectorOf(held) : null;
    const edit = this.tool === "outline";
    const layers = [...grid(this.view, this.units), ...things.draw(this.view, this.things, this.chosen, edit, outline.taken(this.view, this.corners)), ...outline.draw(this.view, this.corners, this.chosen?.corner, this.units, edit, this.chosen?.bow)];
    if (this.tool === "levels") layers.push(...marks.levels(this.view, this.ground, null, this.units));
    if (this.tool === "joints") layers.push(...marks.joints(this.view, this.cuts, this.chosen?.joint, this.units));
    if (this.tool === "places") layers.push(...marks.stands(this.view, this.stands, this.reach, this.chosen?.stand), ...marks.parked(this.view, this.parked, this.chosen));
    if (this.tool === "record") layers.push(...marks.shots(this.view, this.shots, this.chosen?.shot));
    if (this.drawing?.length) layers.push(...this.rubber());
    const { w, h } = this.view.size();
    this.svg.setAttribute("viewBox", `0 0 ${w} ${h}`); // on paper it is drawn whole, at another size
    this.svg.replaceChildren(...layers);
    if (key) this.svg.querySelector(key)?.focus({ preventScroll: true });
    this.root.querySelector('[data-part="twin"]').replaceChildren(outline.table(this.corners, this.units));
    if (!this.dragging) sideBoxes(this);
    if (this.tool === "outline") this.say(outline.says(this.drawing ?? this.corners, this.units));
  }

  rubber() {
    const points = [...this.drawing, ...(this.pointer ? [this.pointer] : [])].map((p) => this.view.on(p));
    const last = this.drawing.at(-1);
    const out = [el("path", { class: "rubber", d: path(points) }), ...this.drawing.map((p) => { const q = this.view.on(p); return el("circle", { class: "dot corner", cx: q.x, cy: q.y, r: 6, fill: "none", stroke: "currentColor", "stroke-width": 2 }); })];
    if (this.pointer && last) {
      const q = this.view.on(this.pointer);
      out.push(el("text", { x: q.x + 12, y: q.y - 12, class: "label" }, side(g.distance(last, this.pointer), this.units)));
    }
    return out;
  }

  say(text) {
    if (this.says.textContent !== text) this.says.textContent = text;
  }

  listen() {
    this.svg.addEventListener("pointerdown", (e) => this.down(e));
    this.svg.addEventListener("pointermove", (e) => this.move(e));
    this.svg.addEventListener("pointerup", (e) => this.up(e));
    this.svg.addEventListener("pointercancel", () => this.cancel());
    this.svg.addEventListener("keydown", (e) => this.key(e));
    this.svg.addEventListener("focusin", (e) => this.focus(e));
    this.svg.addEventListener("focusout", () => setTimeout(() => this.svg.contains(document.activeElement) || this.settleKeys()));
    addEventListener("pagehide", () => this.settleKeys());
    for (const b of this.root.querySelectorAll("[data-mode]")) b.addEventListener("click", () => this.setMode(b.dataset.mode));
    const act = (name, fn, kind = "click") => this.root.querySelector(`[data-do="${name}"]`)?.addEventListener(kind, fn);
    act("in", () => { this.view.zoom(1.4); this.draw(); });
    act("out", () => { this.view.zoom(1 / 1.4); this.draw(); });
    act("fit", () => this.fit());
    act("square", (e) => (this.snap = e.target.checked), "change");
    act("thing", (e) => { this.addThing(e.target.value); e.target.value = ""; }, "change");
    act("curve", () => this.page.bow(this));
    act("loose", () => this.job.change("All joints let go", [{ pointer: "/joints/pinned", value: null }]));
    act("park", () => this.park(this.view.centre));
    act("turnleft", () => this.turn(15));
    act("turnright", () => this.turn(-15));
    act("street", () => this.setMode("street"));
  }

  setMode(mode) {
    this.mode = mode;
    this.drawing = mode === "draw" || mode === "street" ? [] : null;
    this.pointer = null;
    for (const b of this.root.querySelectorAll("[data-mode]")) b.setAttribute("aria-pressed", String(b.dataset.mode === mode));
    const words = { draw: "Tap the corners one after another, or drag. Enter or a tap near the first closes it. Keys: arrows move the point, Space sets it.", corner: "Tap a side where the new corner goes.",
      level: "Tap where the rod stands, then type its reading in the table.", stand: "Tap where the end of the truck can stand.", street: "Tap two or more points along the middle of the street, then Enter.", photo: "Tap where the photo was taken.", bow: "Tap the point the curve runs through." };
    if (mode === "draw" || mode === "street") {
      this.pointer = { ...(this.corners[0] ?? this.view.centre) };
      this.svg.focus({ preventScroll: true });
      this.svg.scrollIntoView({ block: "center" });
    }
    this.draw();
    if (words[mode]) this.say(words[mode]);
  }

  down(e) {
    if (e.button > 0) return;
    const at = this.view.under(e);
    const hit = e.target.closest?.(`${holds},[data-side]`);
    this.svg.setPointerCapture(e.pointerId);
    this.from = { x: e.clientX, y: e.clientY };
    if (this.mode === "draw" || this.mode === "street") {
      this.pointer = this.snapped(at);
      this.drawn = this.drawing.length === 0 ? (this.drawing.push(this.pointer), true) : false;
    } else if (hit?.dataset.thing !== undefined && this.mode === "select") {
      this.grab({ thing: Number(hit.dataset.thing), point: Number(hit.dataset.point) });
    } else if (hit?.dataset.corner !== undefined && this.mode === "select" && this.tool === "outline") {
      this.grab({ corner: Number(hit.dataset.corner) });
    } else if (hit?.dataset.joint !== undefined) {
      this.grab({ joint: Number(hit.dataset.joint) });
    } else if (hit?.dataset.stand !== undefined && this.mode === "select") {
      this.grab({ stand: Number(hit.dataset.stand) });
    } else if (hit?.dataset.nose !== undefined) {
      this.grab({ nose: 0 });
    } else if (hit?.dataset.parked !== undefined) {
      this.grab({ parked: 0 });
    } else if (hit?.dataset.bow !== undefined && this.mode === "select") {
      this.grab({ bow: Number(hit.dataset.bow) });
    } else if (hit?.dataset.shot !== undefined) {
      this.grab({ shot: Number(hit.dataset.shot) });
    } else if (this.mode === "select") {
      this.panning = { at: { ...this.view.centre }, side: hit?.dataset.side };
    }
    this.draw();
  }

  grab(what) {
    this.chosen = what;
    this.dragging = what;
    this.start = structuredClone({ corners: this.corners, things: this.things, cuts: this.cuts, stands: this.stands, parked: this.parked, shots: this.shots });
  }

  move(e) {
    const at = this.view.under(e);
    if (this.drawing) {
      this.pointer = this.snapped(at);
      return this.soon();
    }
    if (this.panning && this.from) {
      const c = this.panning.at;
      this.view.centre = { x: c.x - (e.clientX - this.from.x) / this.view.k, y: c.y + (e.clientY - this.from.y) / this.view.k };
      return this.soon();
    }
    if (!this.dragging) return;
    if (!this.moving && Math.hypot(e.clientX - this.from.x, e.clientY - this.from.y) < 4) return;
    this.moving = true;
    this.shift(this.dragging, at);
    this.soon();
    this.coarsely();
  }

  /** Draws with the next frame, once. */
  soon() {
    this.frame ??= requestAnimationFrame(() => {
      this.frame = null;
      this.draw();
    });
  }

  /** Asks for coarse answers to what is being dragged. */
  coarsely() {
    coarse(this.job, this.page.stages, this.sets(this.dragging));
  }

  /** Puts what is chosen at a place. */
  shift(what, at) {
    if (what.corner !== undefined) {
      const to = this.snap ? g.squareCorner(this.start.corners, what.corner, at) : at;
      this.corners = outline.moved(this.corners, what.corner, to);
      this.say(this.sidesAt(what.corner));
    } else if (what.thing !== undefined) {
      this.things = this.things.map((t, i) => (i === what.thing ? { ...t, points: t.points.map((p, k) => (k === what.point ? at : p)) } : t));
    } else if (what.joint !== undefined) {
      this.cuts = this.cuts.map((c, i) => (i === what.joint ? slid(this.start.cuts[i], at) : c));
      this.say(`Joint ${this.cuts[what.joint].number}: ${side(this.cuts[what.joint].tape, this.units)} from the corner.`);
    } else if (what.stand !== undefined) {
      this.stands = this.stands.map((s, i) => (i === what.stand ? { ...s, x: at.x, y: at.y } : s));
    } else if (what.parked !== undefined) {
      this.parked = { ...this.parked, x: at.x, y: at.y };
    } else if (what.nose !== undefined) {
      const turn = g.heading(this.parked, at);
      this.parked = { ...this.parked, heading: this.snap ? (Math.round(turn / fiveDegrees) * fiveDegrees) : turn };
      this.say(`Its front points ${degrees(this.parked.heading)} degrees, turning left from straight right.`);
    } else if (what.bow !== undefined) {
      const i = what.bow;
      const rise = g.riseThrough(this.corners[i], this.corners[(i + 1) % this.corners.length], at);
      if (rise !== null) this.corners = this.corners.map((c, k) => (k === i ? { ...c, bow: rise } : c));
      this.say(`Side ${outline.sideName(this.corners, i)} bowed by ${side(Math.abs(this.corners[i].bow), this.units)}.`);
    } else if (what.shot !== undefined) {
      this.shots = this.shots.map((s) => (s.at === what.shot ? { ...s, x: at.x, y: at.y } : s));
    }
  }

  sidesAt(i) {
    const n = this.corners.length;
    const c = this.corners;
    const before = (i + n - 1) % n;
    return `Corner ${c[i].name}: side ${outline.sideName(c, before)} ${side(g.distance(c[before], c[i]), this.units)}, side ${outline.sideName(c, i)} ${side(g.distance(c[i], c[(i + 1) % n]), this.units)}.`;
  }

  /** The sets of the job for what is chosen as it stands now. */
  sets(what) {
    const doc = this.job.doc;
    const at = (p) => ({ x: exact(p.x, this.units), y: exact(p.y, this.units) });
    if (what.corner !== undefined) return outline.toSets(this.corners, doc, this.units);
    if (what.thing !== undefined) {
      const t = this.things[what.thing];
      return [{ pointer: `/site/obstacles/${t.at ?? "-"}`, value: things.toRow(t, this.units, doc.site?.obstacles?.[t.at]) }];
    }
    if (what.joint !== undefined) {
      const c = this.cuts[what.joint];
      const pins = (get(doc, "/joints/pinned") ?? []).filter((p) => p.name !== `J${c.number}`);
      const kept = pins.filter((p) => !(c.from && Math.abs(Number.parseFloat(p.x) * 0.0254 - c.from.x) < 0.01));
      return [{ pointer: "/joints/pinned", value: [...kept, { side: c.across ? "first" : "second", ...at(g.middle(c.line.a, c.line.b)) }] }];
    }
    if (what.stand !== undefined) {
      const s = this.stands[what.stand];
      const old = doc.access?.stands?.[what.stand];
      return [{ pointer: `/access/stands/${old === undefined ? "-" : what.stand}`, value: { ...at(s), name: s.name || `stand ${what.stand + 1}` } }];
    }
    if (what.bow !== undefined) return outline.bowSets(this.corners, what.bow, this.corners[what.bow].bow, doc, this.units);
    if (what.shot !== undefined) {
      const row = get(doc, `/record/photos/${what.shot}`);
      return [{ pointer: `/record/photos/${what.shot}`, value: { ...row, ...at(this.shots.find((p) => p.at === what.shot)) } }];
    }
    if (what.nose !== undefined) return [{ pointer: "/backing/parked/heading", value: `${degrees(this.parked.heading)} deg` }];
    const p = at(this.parked);
    return [{ pointer: "/backing/parked/x", value: p.x }, { pointer: "/backing/parked/y", value: p.y }];
  }

  /** What the change is called in the list of steps. */
  stepName(what) {
    if (what.corner !== undefined) return `Corner ${this.corners[what.corner]?.name ?? ""} moved`;
    if (what.thing !== undefined) return `${this.things[what.thing].name || this.things[what.thing].kind} moved`;
    if (what.joint !== undefined) return `Joint ${this.cuts[what.joint].number} to ${side(this.cuts[what.joint].tape, this.units)}`;
    if (what.bow !== undefined) return `Side ${outline.sideName(this.corners, what.bow)} bowed by ${side(Math.abs(this.corners[what.bow].bow), this.units)}`;
    if (what.shot !== undefined) return `Photo P${what.shot + 1} placed on the plan`;
    if (what.nose !== undefined) return `Trailer turned to ${degrees(this.parked.heading)} degrees`;
    return what.stand !== undefined ? `Truck stand ${what.stand + 1} moved` : "Trailer parked";
  }

  up(e) {
    const at = this.view.under(e);
    const tapped = this.from && Math.hypot(e.clientX - this.from.x, e.clientY - this.from.y) < 8;
    if (this.mode === "draw" || this.mode === "street") this.set(at, tapped);
    else if (this.moving && this.dragging) this.commit(this.dragging, this.stepName(this.dragging));
    else if (this.panning?.side !== undefined && tapped) this.typeSide(Number(this.panning.side));
    else if (tapped && this.mode === "corner") this.splitAt(at);
    else if (tapped && this.mode === "level") this.addLevel(at);
    else if (tapped && this.mode === "stand") this.addStand(at);
    else if (tapped && this.mode === "photo") this.setPhoto(at);
    else if (tapped && this.mode === "bow") this.bowThrough(at);
    this.dragging = this.panning = this.from = null;
    this.moving = false;
    this.draw();
  }

  cancel() {
    if (this.start && this.moving) Object.assign(this, this.start);
    this.dragging = this.panning = this.from = null;
    this.moving = false;
    this.draw();
  }

  /** A point of the outline being drawn, snapped square to the side before. */
  snapped(at) {
    const d = this.drawing;
    if (!this.snap || !d?.length) return at;
    const along = d.length > 1 ? g.heading(d[0], d[1]) : 0;
    return g.square(d.at(-1), at, along);
  }

  /** Sets a corner of the outline being drawn; near the first one it closes. */
  set(at, tapped) {
    const p = this.snapped(at);
    const near = this.drawing.length > 2 && g.distance(p, this.drawing[0]) * this.view.k < 26;
    if (near) return this.close();
    if (this.drawn && tapped) return; // the first tap set the first corner
    const last = this.drawing.at(-1);
    if (!last || g.distance(last, p) * this.view.k > 6) this.drawing.push(p);
    this.draw();
  }

  close() {
    const d = this.drawing ?? [];
    const street = this.mode === "street";
    if (street ? d.length < 2 : d.length < 3) return this.say(street ? "A street wants two points." : "A slab has at least three corners.");
    this.setMode("select");
    if (street) {
      return this.job.change("Street drawn", [{ pointer: "/backing/street/line", value: d.map((p) => ({ x: exact(p.x, this.units), y: exact(p.y, this.units) })) }]);
    }
    if (this.snap && d.length > 3) d[d.length - 1] = g.squareCorner(d, d.length - 1, d.at(-1));
    this.corners = g.turned(d.map((p) => ({ ...p }))).map((c, i) => ({ x: round(c.x, this.units), y: round(c.y, this.units), name: g.letter(i), side: null, bow: 0 }));
    return this.commit({ corner: 0 }, `Outline drawn, ${this.corners.length} corners`);
  }

  async commit(what, words) {
    const sets = this.sets(what);
    await this.job.change(words, sets);
  }

  typeSide(i) {
    const box = this.root.querySelector(`#side-${i}`);
    box?.focus();
    box?.select();
  }

  splitAt(at) {
    const c = this.corners;
    let best = { off: Infinity };
    c.forEach((a, i) => {
      const b = c[(i + 1) % c.length];
      const t = Math.min(0.95, Math.max(0.05, ((at.x - a.x) * (b.x - a.x) + (at.y - a.y) * (b.y - a.y)) / (g.distance(a, b) ** 2 || 1)));
      const p = { x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) };
      const off = g.distance(p, at);
      if (off < best.off) best = { off, i, p };
    });
    if (best.off === Infinity) return;
    const name = g.freeName(c);
    this.corners = [...c.slice(0, best.i).map(copy), { ...c[best.i], side: null }, { ...best.p, name, side: null }, ...c.slice(best.i + 1).map(copy)];
    this.setMode("select");
    this.commit({ corner: best.i + 1 }, `Corner ${name} added`);
  }

  addThing(kind) {
    if (!kind) return;
    const n = this.things.filter((t) => t.kind === kind).length + 1;
    const ys = this.corners.map((c) => c.y);
    const reach = ys.length ? (Math.max(...ys) - Math.min(...ys)) / 2 + 1.5 : 2;
    const xs = this.corners.map((c) => c.x);
    const centre = ys.length ? { x: (Math.max(...xs) + Math.min(...xs)) / 2, y: (Math.max(...ys) + Math.min(...ys)) / 2 } : this.view.centre;
    const t = things.fresh(kind, centre, reach, n > 1 ? `${kind} ${n}` : kind);
    this.things = [...this.things, t];
    this.chosen = { thing: this.things.length - 1, point: 0 };
    this.commit(this.chosen, `${kind} put on the plan`).then(() => this.svg.querySelector(`[data-thing="${this.things.length - 1}"]`)?.focus());
  }

  addLevel(at) {
    this.setMode("select");
    this.page.addRow("/site/shots", { x: exact(round(at.x, this.units), this.units), y: exact(round(at.y, this.units), this.units) });
  }

  addStand(at) {
    this.stands = [...this.stands, { x: at.x, y: at.y, name: `stand ${this.stands.length + 1}` }];
    this.setMode("select");
    this.commit({ stand: this.stands.length - 1 }, "Truck stand added");
  }

  park(at) {
    this.parked = { x: at.x, y: at.y, heading: 0, length: 8, width: 2.5 };
    this.commit({ parked: 0 }, "Trailer parked");
  }

  /** Turns the parked trailer by so many degrees to the left. */
  turn(by) {
    if (!this.parked) return this.say("Park the trailer first.");
    this.parked = { ...this.parked, heading: this.parked.heading + (by * Math.PI) / 180 };
    this.draw();
    this.commit({ nose: 0 }, this.stepName({ nose: 0 }));
  }

  /** The next tap says where a photo was taken; without one its place is the middle, and arrow keys move it. */
  placePhoto(i) {
    this.placing = i;
    this.setMode("photo");
    this.svg.scrollIntoView({ block: "center" });
    this.svg.focus({ preventScroll: true });
    this.say(`Tap where photo P${i + 1} was taken, or press Enter to set it in the middle and move it with the arrow keys.`);
  }

  setPhoto(at) {
    const i = this.placing;
    this.shots = [...this.shots.filter((s) => s.at !== i), { at: i, name: `P${i + 1}`, x: at.x, y: at.y }];
    this.setMode("select");
    this.commit({ shot: i }, this.stepName({ shot: i })).then(() => this.svg.querySelector(`[data-shot="${i}"]`)?.focus());
  }

  /** The next tap is the third point of a side's curve. */
  bowNext(i) {
    this.placing = i;
    this.setMode("bow");
    this.say(`Tap the point the curve of side ${outline.sideName(this.corners, i)} runs through.`);
  }

  bowThrough(at) {
    this.shift({ bow: this.placing }, at);
    this.setMode("select");
    this.commit({ bow: this.placing }, this.stepName({ bow: this.placing }));
  }

  focus(e) {
    const d = e.target.dataset ?? {};
    if (d.corner !== undefined) this.chosen = { corner: Number(d.corner) };
    else if (d.thing !== undefined) this.chosen = { thing: Number(d.thing), point: Number(d.point) };
    else if (d.joint !== undefined) this.chosen = { joint: Number(d.joint) };
    else if (d.stand !== undefined) this.chosen = { stand: Number(d.stand) };
    else if (d.parked !== undefined) this.chosen = { parked: 0 };
    else if (d.nose !== undefined) this.chosen = { nose: 0 };
    else if (d.bow !== undefined) this.chosen = { bow: Number(d.bow) };
    else if (d.shot !== undefined) this.chosen = { shot: Number(d.shot) };
    else return;
    if (this.chosen.corner !== undefined) this.say(this.sidesAt(this.chosen.corner));
    for (const old of this.svg.querySelectorAll(".chosen")) old.classList.remove("chosen");
    e.target.closest("g")?.classList.add("chosen");
  }

  key(e) {
    if (e.ctrlKey || e.metaKey) return this.settleKeys(); // undo takes back what these keys did, too
    const arrow = e.key.startsWith("Arrow");
    if (this.drawing) return this.drawKey(e, arrow);
    if (this.mode === "photo" && e.key === "Enter") return this.setPhoto(this.view.centre);
    if (!this.chosen) return;
    if (arrow) {
      e.preventDefault();
      this.keyMove(e.key, e.shiftKey);
    } else if (e.key === "Escape") {
      this.chosen = null;
      this.svg.focus();
      this.draw();
    } else if (e.key === "Delete" || e.key === "Backspace") {
      e.preventDefault();
      this.remove();
    } else if (e.key === "Enter" && this.chosen.corner !== undefined) {
      this.typeSide(this.chosen.corner);
      e.preventDefault();
    }
  }

  drawKey(e, arrow) {
    if (arrow) {
      e.preventDefault();
      const by = step(this.units, e.shiftKey);
      const move = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, by], ArrowDown: [0, -by] }[e.key];
      this.pointer = { x: (this.pointer ?? this.view.centre).x + move[0], y: (this.pointer ?? this.view.centre).y + move[1] };
      const last = this.drawing.at(-1);
      this.draw();
      if (last) this.say(`${side(g.distance(last, this.pointer), this.units)} from the last corner.`);
    } else if (e.key === " ") {
      e.preventDefault();
      this.drawing.push({ ...this.pointer });
      this.draw();
      this.say(`Corner ${this.drawing.length} set.`);
    } else if (e.key === "Enter") {
      e.preventDefault();
      this.close();
    } else if (e.key === "Escape") {
      this.setMode("select");
    }
  }

  /** Arrow keys: many presses of one hand make one change. */
  keyMove(key, large) {
    const by = step(this.units, large);
    const move = { ArrowLeft: { x: -by, y: 0 }, ArrowRight: { x: by, y: 0 }, ArrowUp: { x: 0, y: by }, ArrowDown: { x: 0, y: -by } }[key];
    const what = this.chosen;
    if (this.keyed && JSON.stringify(what) !== JSON.stringify(this.keyed)) this.settleKeys();
    if (what.nose !== undefined) return this.turn(key === "ArrowLeft" || key === "ArrowUp" ? (large ? 15 : 1) : large ? -15 : -1);
    if (!this.keyed) this.start = structuredClone({ corners: this.corners, cuts: this.cuts });
    this.keyed = what;
    const now = this.placeOf(what);
    if (!now) return;
    const snap = this.snap;
    this.snap = false; // keys are exact
    if (what.joint !== undefined) this.start.cuts = structuredClone(this.cuts);
    this.shift(what, g.plus(now, move));
    this.snap = snap;
    this.draw();
    if (what.corner !== undefined) this.say(this.sidesAt(what.corner));
    coarse(this.job, this.page.stages, this.sets(what));
    clearTimeout(this.keyTimer);
    this.keyTimer = setTimeout(() => this.settleKeys(), 700);
  }

  /** What arrow keys moved becomes a change: when the hand rests, goes elsewhere, or leaves. */
  settleKeys() {
    clearTimeout(this.keyTimer);
    const what = this.keyed;
    this.keyed = null;
    if (what) this.commit(what, this.stepName(what));
  }

  placeOf(what) {
    if (what.corner !== undefined) return this.corners[what.corner];
    if (what.thing !== undefined) return this.things[what.thing]?.points[what.point];
    if (what.joint !== undefined) return this.cuts[what.joint] && g.middle(this.cuts[what.joint].line.a, this.cuts[what.joint].line.b);
    if (what.stand !== undefined) return this.stands[what.stand];
    if (what.bow !== undefined) return g.apex(this.corners[what.bow], this.corners[(what.bow + 1) % this.corners.length], this.corners[what.bow].bow);
    if (what.shot !== undefined) return this.shots.find((s) => s.at === what.shot);
    if (what.nose !== undefined) return this.parked && marks.nose(this.parked);
    return this.parked;
  }

  remove() {
    const what = this.chosen;
    this.chosen = null;
    if (what.corner !== undefined && this.corners.length > 3) {
      const name = this.corners[what.corner].name;
      const before = (what.corner + this.corners.length - 1) % this.corners.length;
      this.corners = this.corners.map((c, i) => (i === before ? { ...c, side: null } : c)).filter((_, i) => i !== what.corner);
      this.commit({ corner: 0 }, `Corner ${name} taken out`);
    } else if (what.thing !== undefined) {
      const t = this.things[what.thing];
      this.job.change(`${t.name || t.kind} taken off the plan`, [{ pointer: `/site/obstacles/${t.at}`, value: null }]);
    } else if (what.stand !== undefined) {
      this.job.change(`Truck stand ${what.stand + 1} taken off`, [{ pointer: `/access/stands/${what.stand}`, value: null }]);
    }
    this.svg.focus();
  }
}

const fiveDegrees = Math.PI / 36;
const degrees = (turn) => Math.round(((turn * 180) / Math.PI + 720) % 360);
const copy = (c) => ({ ...c });

/** A dragged point to the nearest inch or centimetre. */
const round = (m, units) => (units === "metric" ? Math.round(m * 100) / 100 : Math.round(m / 0.0254) * 0.0254);

/** A joint slid across its own direction to run through a place. */
function slid(c, to) {
  const d = g.minus(c.line.b, c.line.a);
  const l = Math.hypot(d.x, d.y) || 1;
  const n = { x: -d.y / l, y: d.x / l };
  const off = (to.x - c.line.a.x) * n.x + (to.y - c.line.a.y) * n.y;
  const move = g.times(n, off);
  const more = c.across ? move.x : move.y;
  return { ...c, line: { a: g.plus(c.line.a, move), b: g.plus(c.line.b, move) }, tape: c.tape + more, pinned: true, from: g.middle(c.line.a, c.line.b) };
}

function selectorOf(e) {
  for (const k of kinds) {
    if (e.dataset[k] !== undefined) return `[data-${k}="${e.dataset[k]}"]${e.dataset.point !== undefined ? `[data-point="${e.dataset.point}"]` : ""}`;
  }
  return null;
}
