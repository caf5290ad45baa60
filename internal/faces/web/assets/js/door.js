/** The pages where people come in. All of them work without this file. */

for (const button of document.querySelectorAll("[data-show]")) {
  button.hidden = false;
  button.addEventListener("click", () => {
    const on = button.getAttribute("aria-pressed") !== "true";
    button.setAttribute("aria-pressed", String(on));
    for (const id of button.dataset.show.split(" ")) document.getElementById(id).type = on ? "text" : "password";
  });
}

const keypad = document.getElementById("keypad");
if (keypad) {
  const box = document.getElementById("number");
  const grouped = (digits) => digits.replace(/(\d{3})(?=\d)/g, "$1 ");
  const set = (digits) => {
    box.value = grouped(digits.replace(/\D/g, "").slice(0, 9));
    box.dispatchEvent(new Event("change", { bubbles: true }));
  };
  keypad.hidden = false;
  keypad.addEventListener("click", (e) => {
    const digit = e.target.closest("[data-digit]")?.dataset.digit;
    const now = box.value.replace(/\D/g, "");
    if (digit === "back") set(now.slice(0, -1));
    else if (digit === "all") set("");
    else if (digit) set(now + digit);
  });
  box.addEventListener("input", () => { if (box.selectionStart === box.value.length) set(box.value); });
}

/* Whoever signs out leaves nothing of the jobs on this device but changes that still wait to be sent. */
if (document.body.dataset.out) {
  if ("caches" in window) for (const name of await caches.keys()) await caches.delete(name);
  const { allJobs, unsent, forgetJob } = await import("./store.js");
  for (const kept of await allJobs().catch(() => [])) if ((await unsent(kept.job)).length === 0) await forgetJob(kept.job);
}
