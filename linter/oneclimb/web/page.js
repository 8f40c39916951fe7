"use strict";
{
  // A link into a closed part opens it; printing opens them all, and closes again what was closed.
  const reveal = () => {
    const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    for (let one = target; one; one = one.parentElement) {
      if (one instanceof HTMLDetailsElement) one.open = true;
    }
    const mark = target instanceof SVGElement;
    target?.scrollIntoView(mark ? { block: "center", inline: "center" } : undefined);
    target?.focus({ preventScroll: true });
  };
  addEventListener("hashchange", reveal);
  if (location.hash) reveal();
  let closed = [];
  addEventListener("beforeprint", () => {
    closed = [...document.querySelectorAll("details:not([open])")];
    for (const one of closed) one.open = true;
  });
  addEventListener("afterprint", () => {
    for (const one of closed) one.open = false;
  });
  // What is wide says so, and is a stop for the keyboard, only where it has to be scrolled; a drawing shows its middle.
  const stops = () => {
    for (const one of document.querySelectorAll(".wide")) {
      const more = one.scrollWidth > one.clientWidth;
      if (more) one.tabIndex = 0;
      else one.removeAttribute("tabindex");
      (one.parentElement.localName === "figure" ? one.parentElement : one).classList.toggle("sideways", more);
      if (more && one.matches(".drawn") && !one.scrollLeft) one.scrollLeft = (one.scrollWidth - one.clientWidth) / 2;
    }
  };
  addEventListener("resize", stops);
  for (const one of document.querySelectorAll(".switch > input")) one.addEventListener("change", stops);
  addEventListener("load", stops);
}
