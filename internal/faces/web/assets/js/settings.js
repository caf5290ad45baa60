/** What belongs to this device: its light, the person's name, what is kept. */
import * as store from "./store.js";

export async function settings() {
  const light = /(?:^|; )light=(\w+)/.exec(document.cookie)?.[1] ?? "auto";
  for (const r of document.querySelectorAll('input[name="light"]')) {
    r.checked = r.value === light;
    r.addEventListener("change", () => {
      document.cookie = `light=${r.value}; path=/; max-age=31536000; SameSite=Strict`;
      if (r.value === "auto") delete document.documentElement.dataset.light;
      else document.documentElement.dataset.light = r.value;
    });
  }
  const name = document.getElementById("who-name");
  name.value = (await store.small("name")) ?? "";
  name.addEventListener("change", () => store.setSmall("name", name.value.trim()));
  const says = document.getElementById("keptsays");
  const [jobs, waiting] = [await store.allJobs(), await store.waiting()];
  const held = await navigator.storage?.persisted?.();
  says.textContent = `${jobs.length} ${jobs.length === 1 ? "job" : "jobs"} on this device, ${waiting} ${waiting === 1 ? "change" : "changes"} still to be sent. ${held ? "The browser keeps them." : "The browser may clear them when it runs out of room."}`;
  const ask = document.getElementById("persist");
  if (!held && navigator.storage?.persist) {
    ask.hidden = false;
    ask.addEventListener("click", async () => (says.textContent = (await navigator.storage.persist()) ? "The browser keeps them." : "The browser did not agree. Install the page, then ask again."));
  }
}
