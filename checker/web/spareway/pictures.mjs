// The drawings of what you look at: the core sends them, and a tap on a marked spot leads to the field it belongs to.

import { el } from "./dom.mjs";
import { rulesLanguage, t } from "./say.mjs";
import { read } from "./trusted.mjs";

let shown = 0;
const known = new Map(); // question -> its picture, as in the reply to `describe`

/** Keeps the pictures of a rule set for `pictureFor`. */
export function learn(pictures) {
  known.clear();
  for (const picture of [...pictures].reverse()) for (const question of picture.questions) known.set(question, picture);
}

/**
 * A drawing (`screen.picture` of a `next` reply, or the `svg` of a described picture) with its words in a fold. A tap on
 * a spot moves the focus to the field of its question: within `root()`, the element with the same `data-question`, and
 * there the choice that is drawn, or else the first control. A spot whose question has no field there is not marked.
 */
export function pictureView(text, root = () => document.getElementById("sw-view")) {
  const drawing = document.importNode(read(text), true);
  // The same drawing may stand on a page twice.
  const names = ["title", "desc"].map((tag) => drawing.querySelector(tag));
  shown += 1;
  for (const name of names) name.id = `sw-drawing-${shown}-${name.localName}`;
  drawing.setAttribute("aria-labelledby", names.map((name) => name.id).join(" "));
  const said = names[1].textContent;
  const spots = [...drawing.querySelectorAll("[data-question]")];
  drawing.addEventListener("click", (event) => {
    const spot = event.target.closest("[data-question]");
    if (spot) lead(root(), spot);
  });
  // The fields may come after the picture: what leads nowhere is known once both stand.
  queueMicrotask(() => {
    for (const spot of spots) spot.classList.toggle("sw-spot-off", !field(root(), spot));
  });
  return el("figure", { class: "sw-figure" }, drawing,
    el("details", { class: "sw-fold" }, el("summary", {}, t("picture.words")), el("p", { lang: rulesLanguage() }, said)));
}

/** A fold with the picture of a question; null where it has none. */
export function pictureFor(question) {
  const picture = known.get(question);
  return picture ? el("details", { class: "sw-fold" }, el("summary", {}, t("picture.show")), pictureView(picture.svg)) : null;
}

/** The control that a spot leads to, if it is on the screen. */
function field(root, { dataset: { question, choice } }) {
  const place = [...root.querySelectorAll(`[data-question="${CSS.escape(question)}"]`)].find((found) => !found.closest("svg"));
  if (!place) return null;
  const drawn = choice ? place.querySelector(`[value="${CSS.escape(choice)}"]`) : null;
  return drawn ?? place.querySelector("input, select, button");
}

function lead(root, spot) {
  const control = field(root, spot);
  if (!control) return;
  const shown = control.closest("label") ?? control;
  control.focus({ preventScroll: true });
  shown.scrollIntoView({ block: "center" });
  // A focus that was not moved by a key is not always drawn.
  shown.classList.add("sw-led");
  control.addEventListener("blur", () => shown.classList.remove("sw-led"), { once: true });
}
