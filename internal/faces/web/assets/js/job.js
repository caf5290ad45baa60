/** One job as this page holds it: its document, its changes, and their way to the office. */
import * as store from "./store.js";
import { apply, withWas } from "./doc.js";
import { stacks, takeBack } from "./history.js";

const api = "/api/v1/jobs/";

/** Whether a step says where each of its values stands, so that it can be taken back: a row added elsewhere does not. */
const placed = (c) => c.sets.every((s) => s.place || !s.pointer.endsWith("/-"));

export class Job extends EventTarget {
  constructor(id) {
    super();
    this.id = id;
    this.doc = {};
    this.revision = 0;
    this.base = {};
    this.online = true;
    this.sending = null;
    this.turns = Promise.resolve();
    this.behind = false; // others changed what this page has not fetched yet
    this.history = { undo: null, redo: null };
    this.others = []; // steps the office has
  }

  /** Loads the document: from the office, or what this device kept; unsent changes are laid over either. */
  async load() {
    try {
      await this.fetchDocument();
    } catch {
      const kept = await store.loadJob(this.id);
      if (kept) Object.assign(this, { base: kept.doc, revision: kept.revision, keptAt: kept.at });
      this.setOnline(false);
    }
    await this.relay();
    this.send();
  }

  async fetchDocument() {
    const r = await fetch(api + this.id, { headers: { Accept: "application/json" } });
    if (!r.ok) throw new Error(String(r.status));
    const revision = Number((r.headers.get("ETag") ?? "").replace(/\D/g, "")) || this.revision;
    const doc = await r.json();
    this.setOnline(true);
    if (revision < this.revision) return; // what was sent meanwhile is newer
    this.base = doc;
    this.revision = revision;
    await store.saveJob({ job: this.id, doc: this.base, revision: this.revision, at: Date.now() });
    await this.fetchSteps().catch(() => {});
  }

  /** Lays the unsent changes over what the office has. */
  relay() {
    return this.inTurn(() => this.lay());
  }

  async lay() {
    const waiting = this.mine(await store.unsent(this.id));
    this.doc = waiting.reduce((d, c) => apply(d, c.sets), this.base);
    this.waiting = waiting.length;
    await this.remember();
    this.tell("history");
    this.tell("saved");
  }

  /** Makes a change: kept on this device first, shown next, sent last. Changes made quickly stand in the order they were made. */
  async change(step, sets, undoes) {
    const change = await this.inTurn(() => this.keep(step, sets, undoes));
    await this.send();
    return change;
  }

  /** Does one thing after all that was asked before. */
  inTurn(act) {
    const done = this.turns.then(act);
    this.turns = done.catch(() => {});
    return done;
  }

  /** What can be undone: what the office has of every device, then what this one has yet to send. */
  async remember() {
    const mine = await store.log(this.id);
    const own = new Map(mine.map((c) => [c.id, c]));
    const known = new Set(this.others.map((c) => c.id));
    this.history = stacks([...this.others.map((c) => own.get(c.id) ?? c).filter(placed), ...mine.filter((c) => !known.has(c.id))]);
  }

  /** Fetches the steps of every device, in the order the office has them; without signal only this device's are known. */
  async fetchSteps() {
    const r = await fetch(`${api}${this.id}/changes`);
    if (!r.ok) return;
    const { changes } = await r.json();
    this.others = changes.filter((c) => c.step && c.sets?.length).map((c) => ({ ...c, undoes: c.undoes || undefined }));
  }

  async keep(step, sets, undoes) {
    this.waiting = (this.waiting ?? 0) + 1;
    this.count = (this.count ?? 0) + 1;
    const full = withWas(this.doc, sets);
    const change = { id: store.newId(), job: this.id, at: new Date().toISOString(), step, sets: full, seen: this.revision, who: document.body.dataset.who ?? "" };
    if (undoes) change.undoes = undoes;
    await store.keep(change);
    this.doc = apply(this.doc, full);
    await this.remember();
    this.tell("changed", { sets: full, step });
    this.tell("history");
    this.tell("saved");
    return change;
  }

  undo() {
    return this.turn("undo", "Undo");
  }

  redo() {
    return this.turn("redo", "Redo");
  }

  async turn(which, words) {
    const change = await this.inTurn(() => {
      const { step, sets, undoes } = takeBack(this.history[which], words);
      return sets && this.keep(step, sets, undoes);
    });
    await this.send();
    return change ?? null;
  }

  /** Sends what waits, in order, one at a time. Without signal it waits and tries again. */
  send() {
    this.sending ??= this.drain().finally(() => {
      this.sending = null;
      this.catchUp();
    });
    return this.sending;
  }

  async drain() {
    let any = false;
    for (;;) {
      const [next] = this.mine(await store.unsent(this.id));
      if (!next) break;
      const answer = await this.put(next).catch(() => null);
      if (!answer) {
        this.setOnline(false);
        this.tell("saved");
        clearTimeout(this.later);
        this.later = setTimeout(() => this.send(), 4000);
        return;
      }
      await this.inTurn(() => this.arrived(next, answer.revision ?? this.revision));
      any = true;
      this.setOnline(true);
      this.tell("saved");
      if (answer.differs?.length) this.tell("differs", { differs: answer.differs, change: next });
      if (answer.refused) this.tell("refused", { why: answer.refused, change: next });
    }
    if (!any) return;
    await store.saveJob({ job: this.id, doc: this.doc, revision: this.revision, at: Date.now() });
    this.tell("sent");
  }

  /** A change has come to the office, which may have had others before it. */
  async arrived(change, revision) {
    await store.sent(change, revision);
    this.base = apply(this.base, change.sets);
    if (revision > this.revision + 1) this.behind = true;
    this.revision = Math.max(this.revision, revision);
    this.waiting = Math.max(0, this.waiting - 1);
  }

  async put(change) {
    const body = { at: change.at, by: (await store.small("name")) ?? "", device: await store.device(), step: change.step, seen: change.seen,
      sets: change.sets.map(({ pointer, value, was }) => ({ pointer, value, was })) };
    if (change.undoes) body.undoes = change.undoes;
    const r = await fetch(`${api}${this.id}/changes/${change.id}`, {
      method: "PUT", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
    this.signedOut = r.status === 401; // what was typed waits until somebody signs in
    if (r.ok) return r.json();
    if (!this.signedOut && r.status >= 400 && r.status < 500 && r.status !== 408 && r.status !== 429) {
      // the office will never take it: keep it out of the queue, but say so
      const problem = await r.json().catch(() => ({}));
      return { revision: this.revision, refused: problem.errors?.[0]?.type_this ?? problem.detail ?? problem.title ?? "not taken" };
    }
    throw new Error(String(r.status));
  }

  /** Changes that another person made on this device wait until that person signs in again. */
  mine(changes) {
    const me = document.body.dataset.who ?? "";
    return changes.filter((c) => !c.who || c.who === me);
  }

  /** Listens for changes that others make. */
  listen() {
    if (!window.EventSource) return;
    const events = new EventSource(`${api}${this.id}/events`);
    events.addEventListener("changed", (e) => {
      this.heard = Math.max(this.heard ?? 0, JSON.parse(e.data || "{}").revision ?? 0);
      this.catchUp();
    });
    events.addEventListener("work", (e) => this.tell("work", JSON.parse(e.data)));
    events.onopen = () => { this.setOnline(true); this.send(); };
    events.onerror = () => { if (!navigator.onLine) this.setOnline(false); };
  }

  /** Fetches what others changed, once nothing of this page's own is on its way. */
  async catchUp() {
    if (this.sending || this.waiting || !(this.behind || this.heard > this.revision)) return;
    this.behind = false;
    await this.fetchDocument().catch(() => (this.behind = true));
    await this.relay();
    this.tell("elsewhere", {});
  }

  setOnline(on) {
    if (this.online === on) return;
    this.online = on;
    this.tell("online", { on });
  }

  tell(what, detail) {
    this.dispatchEvent(new CustomEvent(what, { detail }));
  }
}
