// The smaller screens and notices: waiting, the verdict that is already clear, another circuit, a refused request, a worker in trouble.

import { answersSoFar } from "./answers.mjs";
import { el, shape } from "./dom.mjs";
import { sameBoard } from "./run.mjs";
import { rulesLanguage, t, tn, tx } from "./say.mjs";
import { EMPTY, at, before, format } from "./state.mjs";
import { HEADLINES } from "./words.mjs";

export function waitingView(state) {
  const kept = state.answers.size;
  return el(
    "div", { class: "sw-step" },
    el("h1", { id: "sw-title", tabindex: "-1" }, t("wait.title")),
    el("p", {}, kept ? tn("wait.kept", { n: kept }) : t("wait.first")),
    el("p", { class: "sw-way" }, el("a", { href: format(at(state, "start")), class: "sw-back" }, t("page.back"))),
  );
}

/** Stop or call, the early verdict while Python loads (see early-verdict.mjs). */
export function earlyView({ headline, failed }, state) {
  const { word, shape: form } = HEADLINES[headline];
  return el(
    "div", { class: `sw-step sw-early sw-head-${headline}`, "data-headline": headline },
    shape(form),
    el("h1", { id: "sw-title", tabindex: "-1" }, word),
    failed.map(({ title, message, fix }) => el(
      "section", {},
      el("h2", { lang: rulesLanguage() }, title),
      el("p", { lang: rulesLanguage() }, message),
      fix ? el("p", {}, el("strong", {}, t("findings.fix"), " "), el("span", { lang: rulesLanguage() }, fix)) : null,
    )),
    el("p", { id: "sw-later", role: "status" }, t("early.later")),
    el("p", { class: "sw-way" }, el("a", { href: format(before(state, null)), class: "sw-back" }, t("page.back"))),
  );
}

/** What follows an early verdict once the checker is ready; `draw` puts the next screen up. */
export function laterLinks(state, draw) {
  const button = (word) => el("button", { type: "button", class: "md-button", on: { click: draw } }, word);
  if (state.at === "report") return [button(t("early.see"))];
  return tx("early.or", { see: el("a", { href: format(at(state, "report")) }, t("early.see")), on: button(t("early.go-on")) });
}

/** What further answers cannot better, with the way to the verdict; nothing while all is open. */
export function settledNotice(settled, state) {
  if (!settled?.headline) return null;
  const { word, shape: form } = HEADLINES[settled.headline];
  const failed = settled.findings.filter((finding) => finding.outcome === "failed");
  return el(
    "aside", { class: `sw-settled sw-head-${settled.headline}`, "aria-label": t("settled.label") },
    shape(form),
    el(
      "div", {},
      el("p", {}, el("strong", {}, t("settled.clear", { word: word.toLowerCase() })), " ", el("span", { lang: rulesLanguage() }, failed.map((finding) => finding.title).join(". "), ".")),
      el("p", {}, tx("settled.or", { see: el("a", { href: format(at(state, "report")) }, t("settled.see")) })),
    ),
  );
}

/** The same for the status line, which a screen reader speaks. */
export function settledText(headline) {
  return headline ? t("settled.status", { word: HEADLINES[headline].word.toLowerCase() }) : "";
}

/** The way to another circuit of the same board, with what stays true. */
export function anotherCircuit(held) {
  const answers = sameBoard(held.answers);
  if (!answers.size) return null;
  const next = { ...held, answers, confirmed: held.confirmed, at: null, run: null, plan: new Map() };
  return el("p", { class: "sw-screen sw-another" }, el("a", { href: format(next) }, t("run.another")), el("span", { class: "sw-hint" }, t("run.another-lead")));
}

/** A request the core refused, or a fault of the core. Never a verdict. */
export function errorView({ error, fault }, state, questions) {
  const id = error.where?.startsWith("answers.") ? error.where.slice("answers.".length) : null;
  return el(
    "div", { class: "sw-step" },
    el("h1", { id: "sw-title", tabindex: "-1" }, t(fault ? "error.fault" : id ? "error.answer" : "error.other")),
    el("p", { class: "sw-error" }, error.what),
    el("p", {}, error.why),
    el("p", {}, el("strong", {}, t("findings.fix"), " "), error.fix),
    el("p", { class: "sw-hint" }, t("error.where", { where: error.where })),
    id && questions.has(id) ? el("p", {}, el("a", { class: "md-button md-button--primary", href: format(at(state, id)) }, t("error.again"))) : null,
    answersSoFar(state, questions),
    el("p", {}, el("a", { href: format(EMPTY) }, t("page.again"))),
  );
}

/** What the watchdog says: `line` for the quiet status line, `alert` (a node or null) for what needs a decision. */
export function watchdog({ kind, detail }, retry, help) {
  const button = el("button", { type: "button", class: "md-button", on: { click: retry } }, t("watch.again"));
  const away = el("a", { href: help }, t("watch.command-line"));
  const plain = el("a", { href: new URL("../plain/", import.meta.url) }, t("watch.plain"));
  const alert = (...inside) => el("div", { class: "sw-notice" }, ...inside, el("p", { class: "sw-buttons" }, button));
  if (kind === "loading" || kind === "ready") return { line: t(`boot.${kind === "ready" ? "ready" : detail}`), alert: null };
  if (kind === "slow") {
    return { line: t("boot.slow"), alert: alert(el("p", {}, t("watch.slow"))) };
  }
  if (kind === "silent") {
    return { line: t("boot.silent"), alert: alert(el("p", {}, t("watch.silent"))) };
  }
  return {
    line: t("boot.failed"),
    alert: alert(el("p", {}, tx("watch.failed", { away, plain })), el("p", { class: "sw-hint" }, detail ?? "")),
  };
}
