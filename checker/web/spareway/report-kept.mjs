// What can be taken away from a report: on paper, as a file or a link, and what it takes to get the same verdict again.

import { el, folded } from "./dom.mjs";
import { linkButton } from "./saved.mjs";
import { t } from "./say.mjs";

/** What it takes to get the same verdict again, here or on the command line. */
export function replay(report) {
  const row = (name, value) => (value ? el("div", {}, el("dt", {}, name), el("dd", {}, value)) : null);
  return folded(
    t("report.replay"), null,
    el("p", {}, t("report.replay-lead")),
    el("p", { class: "sw-buttons sw-screen" }, el("button", { type: "button", class: "md-button sw-small", on: { click: printAll } }, t("report.print-all"))),
    el(
      "dl", { class: "sw-answers sw-replay" },
      row(t("report.judged-on"), report.as_of),
      row(t("report.rule-set"), `${report.pack.title} (${report.pack.id})`),
      row(t("report.edition-row"), report.pack.edition),
      row(t("report.version"), report.pack.version),
      row(t("report.review"), report.pack.review_by),
      row(t("report.fingerprint"), el("code", {}, report.pack.sha256)),
      row(t("report.engine"), report.engine),
    ),
  );
}

/** Buttons to print and to save; `text` is the reply as the core gave it, then what was asked for it. */
export function keepButtons(text, { format: _format, ask: _ask, ...answersFile }, sheetButton) {
  const button = (label, click) => el("button", { type: "button", class: "md-button sw-small", on: { click } }, label);
  return el(
    "div", { class: "sw-keep sw-screen" },
    el("p", { class: "sw-buttons" },
      sheetButton,
      button(t("report.print"), () => window.print()),
      button(t("report.save-answers"), () => save("spareway-answers.json", `${JSON.stringify(answersFile, null, 1)}\n`)),
      button(t("report.save"), () => save("spareway-report.json", text)),
      linkButton()),
  );
}

/** On paper too, all that a tap shows; with the other button one page or two. */
const PRINTING_ALL = "sw-printing-all";
function printAll() {
  const root = document.documentElement;
  root.classList.add(PRINTING_ALL);
  window.addEventListener("afterprint", () => root.classList.remove(PRINTING_ALL), { once: true });
  window.print();
}

function save(name, content) {
  const address = URL.createObjectURL(new Blob([content], { type: "application/json" }));
  el("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
