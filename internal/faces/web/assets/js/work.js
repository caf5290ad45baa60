/** Questions that take seconds: begun by a button, shown how far they are, cancelled at once. */
export function works(job, page) {
  for (const root of document.querySelectorAll("[data-work]")) new Work(root, job, page);
}

class Work {
  constructor(root, job, page) {
    Object.assign(this, { root, job, page, question: root.dataset.work });
    this.begin = root.querySelector('[data-do="begin"]');
    this.cancelButton = root.querySelector('[data-do="cancel"]');
    this.bar = root.querySelector("progress");
    this.says = root.querySelector(".says");
    this.begin.addEventListener("click", () => this.go());
    this.cancelButton.addEventListener("click", () => this.cancel());
  }

  async go() {
    this.id = crypto.randomUUID?.() ?? String(Math.random()).slice(2);
    this.url = `/api/v1/jobs/${this.job.id}/works/${this.id}`;
    this.began = performance.now();
    this.begin.disabled = true;
    this.says.textContent = "Working. The last answer stays until then.";
    try {
      await this.job.send();
      const r = await fetch(this.url, { method: "PUT", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ question: this.question }) });
      if (!r.ok) throw new Error((await r.json().catch(() => ({}))).detail ?? "it could not be begun");
      this.watch();
    } catch (e) {
      this.end(this.job.online ? `It did not begin: ${e.message}.` : "No signal. This is worked out when there is signal.");
    }
  }

  async watch() {
    const r = await fetch(this.url).catch(() => null);
    const state = r?.ok ? await r.json() : null;
    const since = performance.now() - this.began;
    if (!state) return this.end("It could not be followed. Ask again.");
    if (state.state === "done") {
      this.end("Done.");
      return this.page.refresh();
    }
    if (state.state === "cancelled") return this.end("Cancelled. The last answer stays.");
    if (state.state === "failed") return this.end(`It could not be worked out: ${state.says}`);
    this.bar.hidden = since < 1000;
    this.cancelButton.hidden = since < 500;
    if (state.percent) this.bar.value = state.percent;
    const left = since > 3000 && state.left_s ? `, about ${Math.ceil(state.left_s)} s left` : "";
    this.says.textContent = `${state.says || "Working"}${since > 3000 && state.percent ? ` ${Math.round(state.percent)} %` : ""}${left}`;
    setTimeout(() => this.watch(), since < 3000 ? 120 : 400);
  }

  async cancel() {
    await fetch(this.url, { method: "DELETE" }).catch(() => null);
  }

  end(words) {
    this.begin.disabled = false;
    this.bar.hidden = this.cancelButton.hidden = true;
    this.says.textContent = words;
  }
}
