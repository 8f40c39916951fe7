"use strict";
{
  // The page follows the plan: only what differs is changed, so that what is open, chosen or looked at stays so.
  const live = document.createElement("p");
  live.className = "live";
  live.setAttribute("role", "status");
  document.body.append(live);
  const OWN = new Set(["open", "tabindex"]); // set by whoever reads, or by what fits the window
  const WHOLE = "svg"; // put in place as one
  const key = (node) => (node.dataset?.of ?? node.id) || "";
  const alike = (a, b) => a.nodeName === b.nodeName && key(a) === key(b);
  const dress = (old, fresh) => {
    for (const { name } of [...old.attributes]) {
      if (!OWN.has(name) && !fresh.hasAttribute(name)) old.removeAttribute(name);
    }
    for (const { name, value } of fresh.attributes) {
      if (!OWN.has(name) && old.getAttribute(name) !== value) old.setAttribute(name, value);
    }
  };
  // Puts what stands before a part behind it: a part that is moved loses the focus.
  const past = (first, part) => {
    const before = [];
    for (let one = first; one !== part; one = one.nextSibling) before.push(one);
    part.after(...before);
    return part.nextSibling;
  };
  // Makes one part the other. `keep(node)`: whether a part that is not wanted any more stays all the same.
  const become = (old, fresh, keep) => {
    if (old.isEqualNode(fresh)) return;
    if (old.nodeType !== Node.ELEMENT_NODE) {
      old.data = fresh.data;
      return;
    }
    if (old.matches(WHOLE)) {
      old.replaceWith(document.importNode(fresh, true));
      return;
    }
    dress(old, fresh);
    const wanted = new Set([...fresh.children].map(key));
    let at = old.firstChild;
    const over = () => {
      while (at && key(at) && !wanted.has(key(at))) {
        const next = at.nextSibling;
        if (!keep(at)) at.remove();
        at = next;
      }
    };
    for (const part of [...fresh.childNodes]) {
      over();
      let found = at;
      while (found && !alike(found, part)) found = key(part) || !key(found) ? found.nextSibling : null;
      if (!found) old.insertBefore(document.importNode(part, true), at);
      else {
        if (found === at) at = at.nextSibling;
        else if (found.contains(document.activeElement)) at = past(at, found);
        else old.insertBefore(found, at);
        become(found, part, keep);
      }
    }
    while (at) {
      const next = at.nextSibling;
      if (!keep(at)) at.remove();
      at = next;
    }
  };
  const drop = () => false;
  const stale = (node) => {
    if (!node.matches?.("main > section")) return false;
    node.dataset.stale = "";
    return true;
  };
  const merge = (page, hasty) => {
    const focus = document.activeElement?.id;
    become(document.querySelector("header.top"), page.querySelector("header.top"), drop);
    become(document.querySelector("main"), page.querySelector("main"), hasty ? stale : drop);
    if (!hasty) become(document.querySelector("nav"), page.querySelector("nav"), drop);
    become(document.querySelector("footer"), page.querySelector("footer"), drop);
    if (!hasty) document.title = page.title;
    for (const one of document.querySelectorAll(".switch")) {
      if (!one.querySelector(":checked")) one.querySelector("input").checked = true;
    }
    if (focus && document.activeElement === document.body) {
      document.getElementById(focus)?.focus({ preventScroll: true });
    }
    dispatchEvent(new Event("resize"));
  };
  // A plan that can't be read is told above what was found of it when it could.
  const refuse = (page) => {
    document.getElementById("faults")?.remove();
    const told = document.createElement("section");
    told.id = "faults";
    told.append(...document.importNode(page.querySelector("main"), true).childNodes);
    document.querySelector("main").prepend(told);
  };
  const good = document.querySelector("nav") !== null;
  const show = (text, told) => {
    // Its style is this page's: another would only be refused, and complained of.
    const page = new DOMParser().parseFromString(text.replace(/<style>[^]*?<\/style>/, ""), "text/html");
    const fits = page.querySelector("nav") !== null;
    if (good && fits) {
      document.getElementById("faults")?.remove();
      merge(page, told.hasty);
    } else if (good) refuse(page);
    else if (fits) location.reload();
    else become(document.querySelector("main"), page.querySelector("main"), drop);
    document.documentElement.toggleAttribute("data-hasty", told.hasty);
    document.documentElement.toggleAttribute("data-faults", told.faults);
  };
  let latest = 0;
  const events = new EventSource("events");
  events.addEventListener("error", () => { live.textContent = "Not followed any more: the command has ended."; });
  events.addEventListener("message", async (event) => {
    const told = JSON.parse(event.data);
    latest = told.version;
    const answer = await fetch("page", { cache: "no-store" });
    const text = await answer.text();
    if (told.version !== latest) return;
    show(text, told);
    document.documentElement.dataset.version = told.version;
    live.textContent = told.said;
  });
}
