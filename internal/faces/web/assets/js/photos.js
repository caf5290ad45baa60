/** Photos of the record: kept on this device at once, sent when there is signal, each with its words, its ticket and its place on the plan. */
import * as store from "./store.js";
import { get } from "./doc.js";

const list = "/record/photos";
const shows = ["base", "forms", "steel", "ticket", "surface"];

export function photos(job, page) {
  const root = document.getElementById("photos");
  if (!root) return;
  const p = new Photos(root, job, page);
  for (const what of ["changed", "elsewhere"]) job.addEventListener(what, () => p.show());
  job.addEventListener("sent", () => p.send());
  job.addEventListener("online", (e) => e.detail.on && p.send());
  p.show();
  p.send();
}

class Photos {
  constructor(root, job, page) {
    Object.assign(this, { root, job, page, says: root.querySelector("#photosays"), place: root.querySelector("#photolist") });
    root.querySelector("#photofile").addEventListener("change", async (e) => {
      const files = [...e.target.files];
      for (const f of files) await this.add(f);
      e.target.value = "";
    });
  }

  /** Keeps a photo here first, then in the record. */
  async add(file) {
    if (file.size > 16 << 20) return this.tell(`${file.name} is ${Math.round(file.size / (1 << 20))} MB. Choose one of at most 16 MB.`);
    if (!/^image\/(jpeg|png)$/.test(file.type)) return this.tell(`${file.name} is no JPEG or PNG photo. Set the camera to "most compatible".`);
    const keep = ["time", "place"].filter((k) => this.root.querySelector(`#keep${k}`).checked);
    const name = `${store.newId()}.jpg`;
    const at = new Date();
    await store.keepPhoto({ name, job: this.job.id, blob: file, keep, unsent: 1 });
    const by = (await store.small("name")) ?? "";
    await this.job.change("Photo added", [{ pointer: `${list}/-`, value: { file: name, at: `${two(at.getHours())}:${two(at.getMinutes())}`, ...(by ? { by } : {}) } }]);
    this.tell("The photo is saved here.");
    this.send();
  }

  tell(words) {
    this.says.textContent = words;
  }

  send() {
    this.sending ??= this.drain().finally(() => (this.sending = null));
    return this.sending;
  }

  /** Sends what waits, one at a time; what the office will never take is said beside the photo. */
  async drain() {
    for (;;) {
      const all = await store.photosOf(this.job.id);
      const waiting = all.filter((p) => p.unsent === 1);
      this.job.photosWaiting = waiting.length;
      this.job.tell("saved");
      if (waiting.length === 0) return this.show();
      const [next] = waiting;
      const query = new URLSearchParams({ keep: next.keep.join(), by: (await store.small("name")) ?? "" });
      const r = await fetch(`/api/v1/jobs/${this.job.id}/photos/${next.name}?${query}`, { method: "PUT", headers: { "Content-Type": next.blob.type }, body: next.blob }).catch(() => null);
      if (r?.ok) {
        await store.keepPhoto({ ...next, unsent: 0, blob: null });
      } else if (r && r.status >= 400 && r.status < 500 && r.status !== 408 && r.status !== 429) {
        const problem = await r.json().catch(() => ({}));
        await store.keepPhoto({ ...next, unsent: 0, refused: [problem.title ?? "It was not taken.", problem.detail].filter(Boolean).join(" ") });
      } else {
        clearTimeout(this.later);
        this.later = setTimeout(() => this.send(), 4000);
        return this.show();
      }
    }
  }

  async show() {
    const kept = new Map((await store.photosOf(this.job.id)).map((p) => [p.name, p]));
    const rows = get(this.job.doc, list) ?? [];
    if (this.place.contains(document.activeElement) && document.activeElement.matches("input,select")) return;
    this.place.replaceChildren(...rows.map((row, i) => this.row(row, i, kept.get(row.file))));
    this.besideTickets(rows);
  }

  row(row, i, kept) {
    const li = document.createElement("li");
    const mark = `P${i + 1}`;
    const named = (tag, props, label) => {
      const e = Object.assign(document.createElement(tag), props);
      e.setAttribute("aria-label", `${label}, photo ${mark}`);
      return e;
    };
    const what = named("select", {}, "What it shows");
    what.append(new Option("what it shows", ""), ...[...new Set([...shows, ...(row.of ? [row.of] : [])])].map((s) => new Option(s, s)));
    what.value = row.of ?? "";
    const words = named("input", { value: row.says ?? "", placeholder: "what there is to say", autocomplete: "off" }, "Words");
    const ticket = named("input", { value: row.ticket ?? "", placeholder: "ticket number", autocomplete: "off" }, "Ticket");
    for (const [e, field, says] of [[what, "of", "shows"], [words, "says", "words"], [ticket, "ticket", "ticket"]]) {
      e.addEventListener("change", () => this.job.change(`Photo ${mark} ${says} ${e.value.trim()}`, [{ pointer: `${list}/${i}`, value: having(get(this.job.doc, list)[i], { [field]: e.value.trim() }) }]));
    }
    const place = named("button", { type: "button", className: "tool", textContent: row.x === undefined ? "Place on the plan" : "Move on the plan" }, "Place on the plan");
    place.addEventListener("click", () => this.page.sketch?.placePhoto(i));
    const out = named("button", { type: "button", className: "tool", textContent: "Take out" }, "Take out of the record");
    out.addEventListener("click", () => {
      this.job.change(`Photo ${mark} taken out of the record`, [{ pointer: `${list}/${i}`, value: null }]);
      this.page.offerUndo(`Photo ${mark} taken out`);
    });
    const head = document.createElement("p");
    head.append(Object.assign(document.createElement("strong"), { textContent: mark }), ` ${[row.at, row.by].filter(Boolean).join(", ")}`);
    const state = Object.assign(document.createElement("p"), { className: kept?.refused ? "stop" : "says", textContent: kept?.refused ?? (kept?.unsent ? "Saved here. Will be sent when there is signal." : "") });
    const side = document.createElement("div");
    side.append(head, what, words, ticket, place, out, state);
    li.append(this.picture(row, mark, kept), side);
    return li;
  }

  picture(row, mark, kept) {
    const alt = `Photo ${mark}${row.of ? `: ${row.of}` : ""}${row.says ? `, ${row.says}` : ""}`;
    const img = Object.assign(document.createElement("img"), { alt, width: 160, height: 120, loading: "lazy" });
    if (kept?.blob) {
      img.src = URL.createObjectURL(kept.blob);
      img.addEventListener("load", () => URL.revokeObjectURL(img.src), { once: true });
      return img;
    }
    const url = `/api/v1/jobs/${this.job.id}/photos/${row.file}`;
    img.src = `${url}?small=1`;
    const link = Object.assign(document.createElement("a"), { href: url, target: "_blank", rel: "noopener" });
    link.append(img);
    return link;
  }

  /** A ticket typed in the table shows its photo beside it. */
  besideTickets(rows) {
    const table = document.querySelector('[data-list="/order/tickets"] tbody');
    const typed = get(this.job.doc, "/order/tickets") ?? [];
    for (const [i, tr] of [...(table?.rows ?? [])].entries()) {
      tr.querySelector(".ticketphoto")?.remove();
      const number = String(typed[i]?.number ?? "");
      const k = rows.findIndex((r) => number && String(r.ticket ?? "") === number);
      if (k < 0) continue;
      const a = Object.assign(document.createElement("a"), { className: "tool ticketphoto", href: `/api/v1/jobs/${this.job.id}/photos/${rows[k].file}`, target: "_blank", rel: "noopener", textContent: `Photo P${k + 1}` });
      tr.lastElementChild.append(a);
    }
  }
}

/** A row with some of its fields set; one set to nothing is left out. A row is one value of the job. */
function having(row, fields) {
  return Object.fromEntries(Object.entries({ ...row, ...fields }).filter(([, v]) => v !== ""));
}

const two = (n) => String(n).padStart(2, "0");
