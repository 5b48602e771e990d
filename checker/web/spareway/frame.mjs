// The frame of the check page: where a screen is put up, and the status line under it.

import { settledText } from "./screens.mjs";

const SITE = document.title.split(" - ").at(-1);
export const view = document.getElementById("sw-view");
export const statusLine = document.getElementById("sw-status");

/** Puts a screen up. Focus goes to its heading after a step, but not when the page is opened. */
export function show(title, nodes, moveFocus) {
  view.replaceChildren(...nodes.filter(Boolean));
  document.title = `${title} - ${SITE}`;
  if (moveFocus) {
    window.scrollTo(0, 0);
    document.getElementById("sw-title").focus({ preventScroll: true });
  }
}

/** Says `line` in the status line, which a screen reader speaks. */
export function say(line) {
  if (line && statusLine.textContent !== line) statusLine.textContent = line;
}

/** Says once what is clear by now; `headline` is null while all is open. */
let lastSettled = null;
export function saySettled(headline) {
  if (headline !== lastSettled) say(settledText(headline));
  lastSettled = headline;
}

// Paper shows what is folded on the screen.
const unfolded = [];
window.addEventListener("beforeprint", () => {
  unfolded.push(...view.querySelectorAll("details:not([open])"));
  for (const details of unfolded) details.open = true;
});
window.addEventListener("afterprint", () => {
  for (const details of unfolded.splice(0)) details.open = false;
});
