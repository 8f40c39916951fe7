"use strict";
{
  // The page follows the plan: only parts that differ are put in place of the old ones.
  const live = document.createElement("p");
  live.className = "live";
  live.setAttribute("role", "status");
  document.body.append(live);
  const PARTS = "header.top, nav[aria-label], main > section";
  const name = (part) => part.id || part.tagName;
  const sent = new Map([...document.querySelectorAll(PARTS)].map((part) => [name(part), part.outerHTML]));
  const opened = (part) => [...part.querySelectorAll("details")].map((one) => one.open);
  const keep = (old, fresh) => {
    const open = opened(old);
    const now = fresh.querySelectorAll("details");
    if (now.length === open.length) now.forEach((one, i) => { one.open = open[i]; });
    for (const one of old.querySelectorAll("input:checked")) {
      const same = one.id && fresh.querySelector(`#${CSS.escape(one.id)}`);
      if (same) same.checked = true;
    }
  };
  const place = (fresh, before) => {
    const main = document.querySelector("main");
    if (before) before.after(fresh);
    else main.prepend(fresh);
  };
  const merge = (text, hasty) => {
    const page = new DOMParser().parseFromString(text, "text/html");
    const focus = document.activeElement?.id;
    const named = new Set();
    let before = null;
    for (const fresh of page.querySelectorAll(PARTS)) {
      const key = name(fresh);
      named.add(key);
      const html = fresh.outerHTML;
      const old = [...document.querySelectorAll(PARTS)].find((part) => name(part) === key);
      const mine = document.importNode(fresh, true);
      if (!old) place(mine, before);
      else if (sent.get(key) !== html) {
        keep(old, mine);
        old.replaceWith(mine);
      } else old.removeAttribute("data-stale");
      sent.set(key, html);
      before = fresh.matches("main > section") ? document.getElementById(fresh.id) : null;
    }
    for (const old of document.querySelectorAll("main > section")) {
      if (named.has(name(old))) continue;
      if (hasty) old.setAttribute("data-stale", "");
      else {
        sent.delete(name(old));
        old.remove();
      }
    }
    if (!hasty) document.title = page.title;
    if (focus) document.getElementById(focus)?.focus({ preventScroll: true });
    dispatchEvent(new Event("resize"));
  };
  let latest = Number(sessionStorage.getItem("shown") ?? 0);
  new EventSource("events").addEventListener("message", async (event) => {
    const told = JSON.parse(event.data);
    live.textContent = told.said;
    document.documentElement.dataset.version = told.version;
    if (told.version === latest) return;
    latest = told.version;
    sessionStorage.setItem("shown", latest);
    const answer = await fetch("page", { cache: "no-store" });
    const text = await answer.text();
    if (told.version !== latest) return;
    const other = document.querySelector("main > section") === null;
    if (other !== told.faults || told.faults) location.reload();
    else merge(text, told.hasty);
  });
}
