/** Drawings are laid out for the width they stand in, so that their lettering stays readable; buttons make them larger. */

const zooms = new WeakMap();

/** Fetches every drawing that is near the screen and not as it should be. */
export function loadPictures() {
  for (const f of document.querySelectorAll("[data-picture]")) watch(f);
}

const seen = new IntersectionObserver((entries) => {
  for (const e of entries) if (e.isIntersecting) load(e.target);
}, { rootMargin: "600px" });

function watch(figure) {
  seen.unobserve(figure);
  seen.observe(figure);
  if (figure.dataset.wired) return;
  figure.dataset.wired = "yes";
  figure.addEventListener("click", (e) => {
    const way = e.target.closest("[data-zoom]")?.dataset.zoom;
    if (!way) return;
    zooms.set(figure, Math.min(6, Math.max(1, (zooms.get(figure) ?? 1) * (way === "larger" ? 1.5 : 1 / 1.5))));
    load(figure);
  });
}

async function load(figure) {
  const paper = figure.querySelector(".paper");
  const room = Math.max(260, paper.clientWidth - 18);
  const wide = Math.round((room * (zooms.get(figure) ?? 1)) / 20) * 20;
  const key = `${figure.dataset.revision}/${wide}`;
  if (figure.dataset.shown === key) return;
  const [revision, drawnFor] = (figure.dataset.shown ?? "").split("/");
  if (revision === figure.dataset.revision && Math.abs(drawnFor - wide) < 0.12 * wide && !zooms.has(figure)) return;
  figure.dataset.shown = key;
  if (!zooms.has(figure) && figure.matches(".first")) document.cookie = `room=${wide}; path=/; max-age=31536000; SameSite=Strict`;
  try {
    const r = await fetch(`${figure.dataset.picture}?wide=${wide}&r=${figure.dataset.revision}`);
    if (!r.ok || figure.dataset.shown !== key) return;
    const drawn = Number(r.headers.get("X-Drawn-Wide")) || wide;
    const text = await r.text();
    const svg = new DOMParser().parseFromString(text, "text/html").querySelector("svg");
    if (!svg) return;
    const width = (zooms.get(figure) ?? 1) > 1 ? drawn : Math.min(drawn, Math.max(room, drawn * 0.85));
    svg.setAttribute("width", width);
    paper.replaceChildren(svg);
  } catch {
    figure.dataset.shown = ""; // no signal: the last drawing stays
  }
}

let last = innerWidth;
addEventListener("resize", () => {
  if (innerWidth === last) return;
  last = innerWidth;
  loadPictures();
});

addEventListener("beforeprint", loadPictures);

/** What a mark shows is said when it is tapped. */
addEventListener("click", (e) => {
  const mark = e.target.closest?.("[data-ref]");
  const figure = mark?.closest("[data-picture]");
  if (!figure) return;
  let out = figure.querySelector(".tapped");
  if (!out) {
    out = Object.assign(document.createElement("p"), { className: "says tapped" });
    out.setAttribute("role", "status");
    figure.querySelector(".zoom").append(out);
  }
  out.textContent = mark.dataset.ref;
});
