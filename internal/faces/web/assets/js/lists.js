/** Tables a person fills row by row: levels, tapes, tickets. A row is one value; it is kept when a cell is left. */
import { get } from "./doc.js";
import { read, stopWords } from "./read.js";

export function lists(job, page) {
  for (const list of document.querySelectorAll("[data-list]")) new Rows(list, job, page);
}

/** Adds a row to the list of a pointer, cells filled as given, and goes to its first empty cell. */
export function addRow(pointer, cells) {
  document.querySelector(`[data-list="${pointer}"]`)?.rows?.begin(cells);
}

class Rows {
  constructor(root, job, page) {
    Object.assign(this, { root, job, page, pointer: root.dataset.list, columns: root.dataset.columns ? root.dataset.columns.split(" ") : [] });
    root.rows = this;
    this.body = root.querySelector("tbody");
    root.querySelector(".add").addEventListener("click", () => this.begin());
    root.addEventListener("change", (e) => e.target.closest("tr") && this.keep(e.target.closest("tr")));
    root.addEventListener("click", (e) => e.target.closest(".remove") && this.remove(e.target.closest("tr")));
  }

  /** A new row for a person, ready at its first empty cell. */
  begin(cells = {}) {
    const row = this.add();
    this.columns.forEach((name, i) => cells[name] !== undefined && (this.cell(row, i).value = cells[name]));
    [...row.querySelectorAll("input,select")].find((c) => !c.value && !(cells.x !== undefined && c.getAttribute("aria-label").startsWith("Corner")))?.focus();
  }

  add() {
    const row = this.root.querySelector("template").content.firstElementChild.cloneNode(true);
    const n = this.body.rows.length + 1;
    for (const c of row.querySelectorAll("input,select")) c.setAttribute("aria-label", c.getAttribute("aria-label").replace("row new", `row ${n}`));
    row.querySelector(".remove").setAttribute("aria-label", `Take out row ${n}`);
    this.body.append(row);
    return row;
  }

  cell(row, i) {
    return row.cells[i].querySelector("input,select");
  }

  /** A row as the document has it: its cells by name, cells left empty left out; what it had beside stays. */
  value(row, old) {
    const cells = [...row.querySelectorAll("input,select")].map((c) => c.value.trim());
    if (this.columns.length === 0) return cells[0] || null;
    const out = old && !Array.isArray(old) && typeof old === "object" ? { ...old } : {};
    this.columns.forEach((name, i) => {
      if (cells[i]) out[name] = cells[i];
      else delete out[name];
    });
    return Object.keys(out).length ? out : null;
  }

  /** Keeps a row: after the ones left before it, so that a row filled quickly is still one row. */
  keep(row) {
    this.turns = (this.turns ?? Promise.resolve()).then(() => this.keepRow(row)).catch(() => {});
  }

  async keepRow(row) {
    if (!row.isConnected || !(await this.readable(row))) return;
    const place = [...this.body.rows].indexOf(row);
    const old = (get(this.job.doc, this.pointer) ?? [])[place];
    const value = this.value(row, old);
    if (value === null || JSON.stringify(value) === JSON.stringify(old) || !this.whole(value)) return;
    this.job.change(`${this.title()}: row ${place + 1}`, [{ pointer: `${this.pointer}/${old === undefined ? "-" : place}`, value }]);
    await this.job.turns; // kept on this device; it is sent meanwhile
  }

  /** A row that cannot stand alone yet (a level without a reading) waits in the table. */
  whole(value) {
    const has = (...names) => names.every((n) => value[n]);
    switch (this.pointer) {
      case "/site/shots": return (has("at") || has("x", "y")) && (has("rod") || has("elevation"));
      case "/site/tapes": return has("from", "to", "length");
      case "/access/stands": return has("x", "y");
      case "/grade/ties": return has("elevation") && (has("corner") || has("side"));
      case "/site/obstacles": return has("kind") && ((has("x", "y") && has("across")) || value.line);
      case "/cure/slab_temperatures": return has("time", "temperature");
      case "/cure/cylinders": return has("age", "strength");
      case "/record/hours": return has("task", "time");
      default: return true;
    }
  }

  /** Says under the table what a cell cannot be. */
  async readable(row) {
    let fine = true;
    for (const [i, c] of [...row.querySelectorAll("input")].entries()) {
      if (!c.value.trim()) continue;
      const name = this.columns[[...row.cells].indexOf(c.closest("td"))] ?? "";
      const heard = await read({ pointer: `${this.pointer}/-${name ? `/${name}` : ""}`, text: c.value.trim(), units: this.page.units });
      const wrong = heard.stop;
      c.setAttribute("aria-invalid", String(Boolean(wrong)));
      c.title = heard.readback ?? "";
      if (wrong) {
        fine = false;
        this.say(stopWords(wrong));
      } else if (i === 0) {
        this.say("");
      }
    }
    return fine;
  }

  say(text) {
    this.note ??= this.root.appendChild(Object.assign(document.createElement("p"), { className: "says" }));
    this.note.setAttribute("role", "status");
    this.note.textContent = text;
  }

  title() {
    return this.root.querySelector("h2").textContent;
  }

  async remove(row) {
    const place = [...this.body.rows].indexOf(row);
    row.remove();
    if ((get(this.job.doc, this.pointer) ?? []).length > place) {
      await this.job.change(`${this.title()}: row ${place + 1} taken out`, [{ pointer: `${this.pointer}/${place}`, value: null }]);
    }
    this.root.querySelector(".add").focus();
  }

  /** Shows the document's rows, unless somebody is typing in the table. */
  refill() {
    if (this.root.contains(document.activeElement) && document.activeElement.matches("input,select")) return;
    const list = get(this.job.doc, this.pointer) ?? [];
    if (this.body.rows.length > list.length && [...this.body.rows].slice(list.length).some((r) => this.value(r, null) && !this.whole(this.value(r, null)))) return; // a row is half filled
    this.body.replaceChildren();
    for (const entry of list) {
      const row = this.add();
      this.columns.forEach((name, i) => (this.cell(row, i).value = (Array.isArray(entry) ? entry[i] : entry?.[name]) ?? ""));
      if (this.columns.length === 0) this.cell(row, 0).value = typeof entry === "object" ? "" : entry;
    }
  }
}

export function refillLists() {
  for (const list of document.querySelectorAll("[data-list]")) list.rows?.refill();
}
