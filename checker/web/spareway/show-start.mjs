// The start screen, put up: the choice of a rule set and of a way to answer, a run to go on with, and saved answers.

import { go, state } from "./address.mjs";
import { isCoreReady } from "./asking.mjs";
import { first, start, titleOf } from "./built.mjs";
import { el } from "./dom.mjs";
import { tableOf } from "./early-verdict.mjs";
import { show } from "./frame.mjs";
import { keepRun, keptRun } from "./kept-run.mjs";
import { openSaved } from "./saved.mjs";
import { t, tn } from "./say.mjs";
import { EMPTY, format, today } from "./state.mjs";

const saved = openSaved(Object.keys(first), go);
start.addEventListener("submit", begin);
start.addEventListener("change", (event) => {
  if (!isCoreReady()) tableOf(event.target.value, today()); // on its way before it is needed; with Python there it never is
});
start.querySelector(".sw-buttons").append(
  el("button", { type: "submit", value: "every", class: "md-button" }, t("run.every")),
  el("button", { type: "submit", value: "worksheet", class: "md-button" }, t("start.worksheet")),
);

export function showStart(moveFocus) {
  const radio = [...start.querySelectorAll("input")].find((input) => input.value === state.pack);
  if (radio) radio.checked = true;
  const note = el("p", { class: "sw-hint" }, t("page.another"));
  show(t("page.title"), [state.answers.size ? null : offer(), start, state.answers.size ? note : null, saved], moveFocus);
}

/** A run that was broken off can be gone on with, or forgotten. */
function offer() {
  const found = keptRun();
  if (!found) return null;
  const input = [...start.querySelectorAll("input")].find((one) => one.value === found.pack);
  const pack = input ? titleOf(input) : found.pack;
  const box = el(
    "aside", { class: "sw-notice sw-offer", "aria-label": t("run.go-on") },
    el("p", {}, tn("run.kept", { n: found.answers.size, pack })),
    el("p", { class: "sw-buttons" },
      el("a", { class: "md-button md-button--primary sw-small", href: format(found) }, t("run.go-on")),
      el("button", { type: "button", class: "md-button sw-small", on: { click: () => {
        keepRun(null);
        box.remove();
        document.getElementById("sw-title").focus();
      } } }, t("run.forget"))),
  );
  return box;
}

function begin(event) {
  event.preventDefault();
  const pack = start.querySelector("input:checked")?.value ?? "";
  const error = document.getElementById("sw-error");
  error.hidden = pack !== "";
  if (pack) {
    const place = event.submitter?.value === "worksheet" ? "worksheet" : null;
    const run = event.submitter?.value === "every" ? "every" : null;
    go(pack === state.pack ? { ...state, at: place, run } : { ...EMPTY, pack, at: place, run });
    return;
  }
  error.textContent = t("page.choose");
  start.querySelector("input").focus();
}
