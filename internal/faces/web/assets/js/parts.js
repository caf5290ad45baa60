/** Brings the whole answer after a change: the same page again, of which only the parts that answer are taken over. */
import { settle, newest } from "./ask.js";
import { loadPictures } from "./pictures.js";

let timer = null;

/** Shows that the last answer is being worked over; words come when it takes long. */
export function working(page) {
  const strip = document.getElementById("strip");
  strip?.classList.add("updating");
  clearTimeout(timer);
  timer = setTimeout(() => page.announce("Working it out. The last answer stays until then."), 1000);
}

/**
 * Fetches the page anew and swaps strip, findings and pictures.
 * @returns {Promise<boolean>} whether it came
 */
export async function refresh(page) {
  const n = settle();
  working(page);
  try {
    const r = await fetch(location.pathname, { cache: "no-store" });
    if (!r.ok) throw new Error(String(r.status));
    const text = await r.text();
    if (!newest(n)) return false;
    const fresh = new DOMParser().parseFromString(text, "text/html");
    for (const name of ["strip", "found", "pictures"]) swap(document.getElementById(name), fresh.getElementById(name));
    for (const cls of ["danger", "watermark", "printed"]) bar(fresh, cls);
    guesses(fresh);
    document.body.dataset.revision = fresh.body.dataset.revision;
    loadPictures();
    performance.measure("full", { start: page.changedAt ?? performance.now(), end: performance.now() });
    page.announceSoon();
    return true;
  } catch {
    return false;
  } finally {
    if (newest(n)) {
      clearTimeout(timer);
      document.getElementById("strip")?.classList.remove("updating");
    }
  }
}

/** Takes a part over, what was folded open stays open. */
function swap(old, fresh) {
  if (!old || !fresh) return;
  if (old.id === "pictures") return swapPictures(old, fresh);
  const open = new Set([...old.querySelectorAll("details[open] > summary")].map(words));
  const focused = old.contains(document.activeElement) ? nameOf(document.activeElement) : null;
  old.replaceChildren(...fresh.childNodes);
  for (const s of old.querySelectorAll("details > summary")) if (open.has(words(s))) s.parentElement.open = true;
  if (focused) [...old.querySelectorAll("a,button,summary")].find((e) => nameOf(e) === focused)?.focus();
}

const words = (e) => e.textContent.replaceAll(/[\d.,]+/g, "#");
const nameOf = (e) => e.getAttribute("href") ?? words(e);

/** Drawings keep their place on the page; only what they show is fetched anew. */
function swapPictures(old, fresh) {
  const kept = new Map([...old.querySelectorAll("[data-picture]")].map((f) => [f.dataset.picture, f]));
  const next = [...fresh.querySelectorAll("[data-picture]")].map((f) => {
    const same = kept.get(f.dataset.picture);
    if (!same) return f;
    same.dataset.revision = f.dataset.revision;
    same.querySelector("figcaption").replaceChildren(...f.querySelector("figcaption").childNodes);
    const [a, b] = [same.querySelector(".twin"), f.querySelector(".twin")];
    if (a && b) {
      b.open = a.open;
      a.replaceWith(b);
    }
    return same;
  });
  if (next.length !== old.children.length || next.some((f, i) => old.children[i] !== f)) old.replaceChildren(...next);
}

/** The bars over the page: do not dig, practice. */
function bar(fresh, cls) {
  const now = document.querySelector(`#notices > .${cls}`);
  const then = fresh.querySelector(`#notices > .${cls}`);
  if (now && !then) now.remove();
  if (!now && then) document.getElementById("notices").prepend(then);
}

/** What is assumed in the empty boxes may have changed with the answer. */
function guesses(fresh) {
  for (const box of document.querySelectorAll(".box[data-pointer]")) {
    const input = box.querySelector("input,select");
    if (input === document.activeElement || box.classList.contains("held")) continue;
    const other = fresh.getElementById(input?.id)?.closest(".box");
    box.hidden = !other && Boolean(box.closest(".asks"));
    if (!other) continue;
    if (input.matches("select")) input.options[0].textContent = other.querySelector("select")?.options[0].textContent ?? "";
    else if (!input.value) box.querySelector(".readback").replaceChildren(...(other.querySelector(".readback")?.childNodes ?? []));
  }
}
