// The smaller screens and notices: waiting, the verdict that is already clear, a refused request, a worker in trouble.

import { answersSoFar } from "./answers.mjs";
import { el, shape } from "./dom.mjs";
import { at, before, format } from "./state.mjs";
import { HEADLINES } from "./words.mjs";

export function waitingView(state) {
  const kept = state.answers.size;
  return el(
    "div", { class: "sw-step" },
    el("h1", { id: "sw-title", tabindex: "-1" }, "One moment: the checker is loading"),
    el("p", {}, kept ? `Your ${kept === 1 ? "answer is" : `${kept} answers are`} kept. The next question comes by itself.` : "The question comes by itself."),
    el("p", { class: "sw-way" }, el("a", { href: format(at(state, "start")), class: "sw-back" }, "Back")),
  );
}

/** Stop or call, said by the table of the gates while Python loads (see gates.mjs). */
export function earlyView({ headline, failed }, state) {
  const { word, shape: form } = HEADLINES[headline];
  return el(
    "div", { class: `sw-step sw-early sw-head-${headline}`, "data-headline": headline },
    shape(form),
    el("h1", { id: "sw-title", tabindex: "-1" }, word),
    failed.map(({ title, message, fix }) => el(
      "section", {},
      el("h2", {}, title),
      el("p", {}, message),
      fix ? el("p", {}, el("strong", {}, "What to do: "), fix) : null,
    )),
    el("p", { id: "sw-later", role: "status" }, "The full report comes when the checker is ready."),
    el("p", { class: "sw-way" }, el("a", { href: format(before(state, null)), class: "sw-back" }, "Back")),
  );
}

/** What follows an early verdict once the checker is ready; `draw` puts the next screen up. */
export function laterLinks(state, draw) {
  const report = el("a", { href: format(at(state, "report")) }, "See the full report");
  if (state.at === "report") return [el("button", { type: "button", class: "md-button", on: { click: draw } }, "See the full report")];
  return [report, " or ", el("button", { type: "button", class: "md-button", on: { click: draw } }, "Go on: the rest is judged all the same")];
}

/** What further answers cannot better, with the way to the verdict; nothing while all is open. */
export function settledNotice(settled, state) {
  if (!settled?.headline) return null;
  const { word, shape: form } = HEADLINES[settled.headline];
  const failed = settled.findings.filter((finding) => finding.outcome === "failed");
  return el(
    "aside", { class: `sw-settled sw-head-${settled.headline}`, "aria-label": "Already clear" },
    shape(form),
    el(
      "div", {},
      el("p", {}, el("strong", {}, `Already clear: ${word.toLowerCase()}. `), failed.map((finding) => finding.title).join(". "), "."),
      el("p", {}, el("a", { href: format(at(state, "report")) }, "See the verdict now"), " or go on: the rest is judged all the same."),
    ),
  );
}

/** The same for the status line, which a screen reader speaks. */
export function settledText(headline) {
  return headline ? `Already clear: ${HEADLINES[headline].word.toLowerCase()}. You can see the verdict now, or go on.` : "";
}

/** A request the core refused, or a fault of the core. Never a verdict. */
export function errorView({ error, fault }, state, questions) {
  const id = error.where?.startsWith("answers.") ? error.where.slice("answers.".length) : null;
  return el(
    "div", { class: "sw-step" },
    el("h1", { id: "sw-title", tabindex: "-1" }, fault ? "The checker has a fault" : id ? "One answer cannot be used" : "This cannot be judged"),
    el("p", { class: "sw-error" }, error.what),
    el("p", {}, error.why),
    el("p", {}, el("strong", {}, "What to do: "), error.fix),
    el("p", { class: "sw-hint" }, `Where: ${error.where}`),
    id && questions.has(id) ? el("p", {}, el("a", { class: "md-button md-button--primary", href: format(at(state, id)) }, "Answer again")) : null,
    answersSoFar(state, questions),
    el("p", {}, el("a", { href: "#" }, "Start again")),
  );
}

const STATUS = {
  start: "Loading the checker. You can begin meanwhile.",
  python: "Loading Python. You can begin meanwhile.",
  rules: "Loading the rules. You can begin meanwhile.",
  ready: "The checker is ready. From here on nothing is loaded or sent.",
};

/** What the watchdog says: `line` for the quiet status line, `alert` (a node or null) for what needs a decision. */
export function watchdog({ kind, detail }, retry, help) {
  const button = el("button", { type: "button", class: "md-button", on: { click: retry } }, "Try again");
  const away = el("a", { href: help }, "command line");
  const alert = (...inside) => el("div", { class: "sw-notice" }, ...inside, el("p", { class: "sw-buttons" }, button));
  if (kind === "loading" || kind === "ready") return { line: STATUS[kind === "ready" ? "ready" : detail], alert: null };
  if (kind === "slow") {
    return { line: "Still loading.", alert: alert(el("p", {}, "Loading takes longer than it should. About 6 MB have to come through: on a slow line, wait a little longer. Your answers are kept.")) };
  }
  if (kind === "silent") {
    return { line: "No answer yet.", alert: alert(el("p", {}, "The checker does not answer. Your answers are kept; trying again starts it afresh.")) };
  }
  return {
    line: "The checker is not running.",
    alert: alert(el("p", {}, "The checker could not start. Your answers are kept. If it fails again, a newer browser may help, or the ", away, "."), el("p", { class: "sw-hint" }, detail ?? "")),
  };
}
