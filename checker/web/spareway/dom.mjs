// Elements, with text set as text: nothing that comes from rules or answers is ever read as HTML.

import { rulesLanguage } from "./say.mjs";

const SVG = "http://www.w3.org/2000/svg";

/**
 * A new element. `props`: `class`, `on` (event name to listener), any other attribute; `true` sets it empty, `false`,
 * `null` and `undefined` leave it out. Children are nodes or texts; empty ones are left out.
 */
export function el(tag, props = {}, ...children) {
  return filled(document.createElement(tag), props, children);
}

/** As `el`, a part of a drawing. */
export function svg(tag, props = {}, ...children) {
  return filled(document.createElementNS(SVG, tag), props, children);
}

function filled(element, props, children) {
  for (const [name, value] of Object.entries(props)) {
    if (name === "on") {
      for (const [event, listener] of Object.entries(value)) element.addEventListener(event, listener);
    } else if (value !== false && value !== null && value !== undefined) {
      element.setAttribute(name, value === true ? "" : value);
    }
  }
  element.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== ""));
  return element;
}

/** A closed fold with a heading; nothing when there is nothing inside. */
export function fold(title, ...children) {
  const inside = children.flat().filter(Boolean);
  return inside.length ? el("details", { class: "sw-fold" }, el("summary", {}, title), ...inside) : null;
}

/** A section with a heading of level 2; nothing when there is nothing inside. */
export function section(title, ...children) {
  const inside = children.flat(3).filter(Boolean);
  return inside.length ? el("section", { class: "sw-section" }, el("h2", {}, title), ...inside) : null;
}

/** A section behind one tap: its heading, and beside it how much is inside; nothing when there is nothing. */
export function folded(title, beside, ...children) {
  const inside = children.flat(3).filter(Boolean);
  if (!inside.length) return null;
  return el("section", { class: "sw-section sw-folded" }, el("details", { class: "sw-fold" },
    el("summary", {}, el("span", {}, el("h2", {}, title), beside ? el("span", { class: "sw-hint" }, ` ${beside}`) : null)), ...inside));
}

/** How many, for beside a heading; none is not said. */
export function counted(n) {
  return n ? `(${n})` : null;
}

/** A list of `{text}` items, texts of the rules; nothing when it is empty. `ordered` numbers them. */
export function textList(items, ordered = false) {
  return items.length ? el(ordered ? "ol" : "ul", { lang: rulesLanguage() }, items.map((item) => el("li", {}, item.text))) : null;
}

// Outlines on a 24 by 24 field. Each outcome has a shape of its own, so that nothing hangs on colour.
const SHAPES = {
  stop: "M8 2h8l6 6v8l-6 6H8l-6-6V8zM8 8l8 8M16 8l-8 8",
  call: "M5 3h4l2 5-2.5 1.5a11 11 0 0 0 6 6L16 13l5 2v4a2 2 0 0 1-2 2A16 16 0 0 1 3 5a2 2 0 0 1 2-2z",
  change: "M12 3 22 20H2zM12 9v6M12 17v1",
  "find-out": "M12 2l10 10-10 10L2 12zM9.5 10a2.5 2.5 0 1 1 3.4 2.3c-.7.3-.9.7-.9 1.4M12 16v.6",
  fits: "M12 2a10 10 0 1 0 0 20 10 10 0 0 0 0-20M7.5 12.5l3 3 6-7",
  none: "M12 2a10 10 0 1 0 0 20 10 10 0 0 0 0-20M8 12h8",
};

/** A shape as decoration; the word beside it carries the meaning. */
export function shape(name) {
  return svg("svg", { viewBox: "0 0 24 24", class: "sw-shape", "aria-hidden": "true" }, svg("path", { d: SHAPES[name] }));
}

let pressed = null;
globalThis.document?.addEventListener("pointerdown", () => {
  pressed = new Promise((resolve) => {
    for (const end of ["pointerup", "pointercancel"]) document.addEventListener(end, () => setTimeout(resolve), { once: true });
  }).then(() => {
    pressed = null;
  });
}, true);

/** Waits while a finger or a button is down: what moves under it would take its tap away. */
export function untouched() {
  return pressed ?? Promise.resolve();
}
