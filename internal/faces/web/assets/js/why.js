/** "Why?" opens the working over the page; without scripts the same link leads to it. */
export function whyLinks() {
  const panel = Object.assign(document.createElement("dialog"), { className: "whypanel" });
  panel.setAttribute("aria-label", "Why?");
  document.body.append(panel);
  document.addEventListener("click", async (e) => {
    const link = e.target.closest("a.whylink");
    if (!link || e.ctrlKey || e.metaKey || e.shiftKey) return;
    e.preventDefault();
    try {
      const r = await fetch(link.href);
      if (!r.ok) throw new Error();
      const body = new DOMParser().parseFromString(await r.text(), "text/html").getElementById("whybody");
      const close = Object.assign(document.createElement("button"), { type: "button", className: "button", textContent: "Close" });
      close.addEventListener("click", () => panel.close());
      body.querySelector("h1").outerHTML = `<h2>${body.querySelector("h1").innerHTML}</h2>`;
      panel.replaceChildren(close, ...body.childNodes);
      panel.showModal();
      panel.addEventListener("close", () => (link.isConnected ? link : document.querySelector(`a[href="${link.getAttribute("href")}"]`))?.focus(), { once: true });
    } catch {
      location.href = link.href;
    }
  });
}
