// The report of a check, as a page.

import { answersJudged } from "./answers.mjs";
import { compareView } from "./compare.mjs";
import { el, fold, section, shape, textList } from "./dom.mjs";
import { confirmLink, findingsByStage, margins, toFinding } from "./findings.mjs";
import { copySection } from "./plaintext.mjs";
import { linkButton } from "./saved.mjs";
import { rulesLanguage, t, tn } from "./say.mjs";
import { sheetSection } from "./sheet.mjs";
import { at, format, withAnswers } from "./state.mjs";
import { factsOf } from "./working.mjs";
import { HEADLINES, WHO, answerText, nameText, withUnit } from "./words.mjs";

/**
 * The page for a `check` reply. `text` is the reply as the core gave it, `request` what was asked; then the rule
 * set's stages, questions and rules (Maps by id), names (Map, see words.mjs), folder of reference pages, `open` whether questions are left, `beyond` how many at most beyond the verdict, `compare` see
 * compare.mjs, `sheet` asks for the job sheet (see sheet.mjs), `suppose` makes the box with the short verdict (see short.mjs).
 */
export function reportView({ report, text, request, compare, sheet, suppose, state, stages, questions, rules, names, reference, open, beyond }) {
  const titles = new Map(report.findings.map((finding) => [finding.rule, finding.title]));
  const page = el(
    "div", { class: "sw-report" },
    el("p", { class: "sw-way" }, el("a", { href: format(at(state, [...state.answers.keys()].at(-1) ?? "start")), class: "sw-back" }, t("page.back")),
      el("span", {}, `${report.pack.title}, ${report.as_of}`)),
    headline(report),
    report.pack.preview ? el("p", { class: "sw-notice" }, el("strong", {}, t("report.preview"), " "), report.pack.preview) : null,
    report.pack.notice ? el("p", { class: "sw-notice" }, el("strong", {}, t("report.edition"), " "), report.pack.notice) : null,
    report.headline === "find-out" ? suppose() : null,
    open ? el("p", { class: "sw-screen" }, el("a", { class: "md-button md-button--primary", href: format(at(state, null)) }, t("report.go-on"))) : null,
    beyond ? el("p", { class: "sw-screen sw-beyond" }, tn("report.beyond", { n: beyond }), " ", el("a", { class: "md-button", href: format(at(state, "beyond")) }, t("report.go-beyond"))) : null,
    el("p", { class: "sw-screen" }, el("a", { href: format(at(state, "worksheet")) }, t("report.worksheet"))),
    el("div", { class: "sw-parts" }, part(t("report.who"), report.who, WHO, titles), part(t("report.sizing"), report.sizing, HEADLINES, titles)),
    cautions(report),
    changes(report, state, questions),
    findOut(report, state),
    flips(report),
    numbers(report, names),
    copySection({ report, questions, names }),
    job(report, t("report.steps"), report.steps),
    job(report, t("report.connections"), report.connections),
    job(report, t("report.tests"), report.tests),
    sheetSection(sheet, (question) => format(at(state, question))),
    section(t("report.last-word"), textList(report.defers_to)),
    section(t("report.not-checked"), textList(report.not_checked)),
    findingsByStage(report, stages, state, { rules, names, folder: reference, facts: factsOf(report, questions, names) }),
    compareView(compare, names),
    answersJudged(state, questions, report),
    replay(report, text, request),
  );
  page.querySelector(".sw-parts").after(contents(page));
  return page;
}

/** Leads to the sections. Buttons, not links: the address holds the answers. */
function contents(page) {
  const lead = (heading) => {
    heading.setAttribute("tabindex", "-1");
    heading.focus();
  };
  return el("nav", { class: "sw-contents sw-screen", "aria-label": t("report.contents") }, [...page.querySelectorAll(".sw-section > h2")].map((heading) =>
    el("button", { type: "button", class: "sw-link", on: { click: () => lead(heading) } }, heading.textContent)));
}

/** A list for whoever does the work. It stands open when the work may go on, and is one fold away before that. */
function job(report, title, items) {
  const list = textList(items, true);
  return section(title, report.headline === "fits" ? list : list && fold(tn("report.entries", { n: items.length }), list));
}

/** The first few stand open; nobody reads twenty. The steps of the job come back to the rest. */
const CAUTIONS_OPEN = 4;
function cautions({ cautions: all }) {
  const rest = all.slice(CAUTIONS_OPEN);
  return el("div", { class: "sw-cautions" }, section(
    t("report.mind"),
    textList(all.slice(0, CAUTIONS_OPEN)),
    rest.length ? fold(t("report.mind-more", { n: rest.length }), textList(rest)) : null,
  ));
}

function headline(report) {
  const { word, shape: form } = HEADLINES[report.headline];
  return el(
    "div", { class: `sw-headline sw-head-${report.headline}` },
    shape(form),
    el("div", {}, el("p", { class: "sw-word" }, word), el("h1", { id: "sw-title", tabindex: "-1", lang: rulesLanguage() }, report.headline_text)),
  );
}

function part(title, judged, words, titles) {
  const { word, shape: form } = words[judged.outcome];
  const because = judged.because.filter((rule) => titles.has(rule));
  const list = el("ul", {}, because.map((rule) => el("li", {}, toFinding(rule, titles.get(rule)))));
  return el(
    "section", { class: `sw-part sw-part-${judged.outcome}` },
    el("h2", {}, title),
    el("p", { class: "sw-outcome" }, shape(form), el("strong", {}, word)),
    el("p", { lang: rulesLanguage() }, judged.text),
    because.length > 4 ? fold(t("report.because", { n: because.length }), list) : because.length ? list : null,
  );
}

function fixes(findings) {
  return el("ul", { class: "sw-todo" }, findings.map((finding) => el(
    "li", {}, el("span", { lang: rulesLanguage() }, finding.fix), el("span", { class: "sw-hint" }, toFinding(finding.rule, finding.title)))));
}

/** What failed, with its remedy; then sets of changed answers that would clear it, each to be tried. */
function changes(report, state, questions) {
  const [failed, advice] = [false, true].map((only) => report.findings.filter(
    (finding) => finding.outcome === "failed" && finding.fix && (finding.weight === "advice") === only));
  const sets = report.changes.filter((change) => Object.keys(change.answers).length);
  const none = report.changes.filter((change) => !Object.keys(change.answers).length);
  return section(
    t(failed.length ? "changes.title" : "changes.better"),
    failed.length ? fixes(failed) : null,
    sets.length ? el("h3", {}, t("changes.sets")) : null,
    sets.length ? el("ul", { class: "sw-todo" }, sets.map((change) => el(
      "li", {}, el("span", { lang: rulesLanguage() }, change.text), changed(report, change, questions), el("p", { class: "sw-screen" }, el("a", { href: format(withAnswers(state, change.answers, "report")) },
        t("changes.try"), el("span", { class: "sw-hidden" }, ` ${change.text}`))),
    ))) : null,
    none.map((change) => el("p", { lang: rulesLanguage() }, change.text)),
    advice.length ? el("h3", {}, t("changes.advice")) : null,
    advice.length ? fixes(advice) : null,
  );
}

/** Which answers a set of changes turns into which. */
function changed(report, change, questions) {
  return el("dl", { class: "sw-answers" }, Object.entries(change.answers).map(([id, value]) => {
    const before = report.answers[id] ?? report.assumed?.[id]?.value;
    const old = before === undefined ? t("changes.not-answered") : answerText(questions.get(id), before);
    return el("div", {}, el("dt", { lang: rulesLanguage() }, questions.get(id)?.label ?? id), el("dd", {}, t("changes.from-to", { old, new: answerText(questions.get(id), value) })));
  }));
}

/** The numbers nearest to another verdict stand open. */
const FLIPS_OPEN = 3;
function flips({ flips: all }) {
  const rest = all.slice(FLIPS_OPEN);
  return all.length ? section(t("flips.title"), el("p", {}, t("flips.lead")), textList(all.slice(0, FLIPS_OPEN)),
    rest.length ? fold(t("flips.more", { n: rest.length }), textList(rest)) : null) : null;
}

function findOut(report, state) {
  if (!report.find_out.length) return null;
  const waitsFor = new Map();
  for (const finding of report.findings) for (const reason of finding.reasons) waitsFor.set(`${reason.kind} ${reason.id}`, reason.kind);
  return section(t("findout.title"), el("ol", { class: "sw-todo" }, report.find_out.map((item) => el(
    "li", {}, el("span", { lang: rulesLanguage() }, item.text),
    item.how ? el("span", { class: "sw-hint", lang: rulesLanguage() }, item.how) : null,
    el("p", { class: "sw-screen" }, item.question
      ? el("a", { href: format(at(state, item.question)) }, t("findout.answer"), el("span", { class: "sw-hidden" }, ` ${item.text}`))
      : item.cell && waitsFor.has(`confirm ${item.cell}`) ? confirmLink(item.cell, state) : ""),
  ))));
}

function numbers(report, names) {
  const worked = Object.entries(report.quantities);
  return section(
    t("numbers.title"),
    margins(report, names),
    worked.length ? fold(t("numbers.all"), el("dl", { class: "sw-answers" }, worked.map(([name, quantity]) => el(
      "div", {}, el("dt", {}, nameText(name, names)),
      el("dd", {}, el("span", { title: t("numbers.exactly", { exact: quantity.exact }) }, withUnit(quantity.value, quantity.unit))),
    )))) : null,
  );
}

/** What it takes to get the same verdict again, here or on the command line. */
function replay(report, text, { format: _format, ask: _ask, ...answersFile }) {
  const row = (name, value) => (value ? el("div", {}, el("dt", {}, name), el("dd", {}, value)) : null);
  const button = (label, name, content) => el("button", { type: "button", class: "md-button sw-small", on: { click: () => save(name, content()) } }, label);
  return section(
    t("report.replay"),
    el("p", {}, t("report.replay-lead")),
    el(
      "p", { class: "sw-buttons sw-screen" },
      el("button", { type: "button", class: "md-button sw-small", on: { click: () => window.print() } }, t("report.print")),
      button(t("report.save-answers"), "spareway-answers.json", () => `${JSON.stringify(answersFile, null, 1)}\n`),
      button(t("report.save"), "spareway-report.json", () => text),
      linkButton(),
    ),
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

function save(name, content) {
  const address = URL.createObjectURL(new Blob([content], { type: "application/json" }));
  el("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
