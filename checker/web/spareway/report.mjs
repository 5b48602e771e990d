// The report of a check, as a page.

import { answersJudged } from "./answers.mjs";
import { compareView } from "./compare.mjs";
import { el, fold, section, shape, textList } from "./dom.mjs";
import { confirmLink, findingsByStage, margins, toFinding } from "./findings.mjs";
import { sheetSection } from "./sheet.mjs";
import { at, format, withAnswers } from "./state.mjs";
import { HEADLINES, WHO, nameText, withUnit } from "./words.mjs";

/**
 * The page for a `check` reply. `text` is the reply as the core gave it, `request` what was asked; then the rule
 * set's stages, questions (Map by id) and names (Map, see words.mjs), `open` whether questions are left, `compare` see
 * compare.mjs, `sheet` asks for the job sheet (see sheet.mjs).
 */
export function reportView({ report, text, request, compare, sheet, state, stages, questions, names, open }) {
  const titles = new Map(report.findings.map((finding) => [finding.rule, finding.title]));
  const page = el(
    "div", { class: "sw-report" },
    el("p", { class: "sw-way" }, el("a", { href: format(at(state, [...state.answers.keys()].at(-1) ?? "start")), class: "sw-back" }, "Back"),
      el("span", {}, `${report.pack.title}, ${report.as_of}`)),
    headline(report),
    report.pack.preview ? el("p", { class: "sw-notice" }, el("strong", {}, "Preview: "), report.pack.preview) : null,
    report.pack.notice ? el("p", { class: "sw-notice" }, el("strong", {}, "Edition: "), report.pack.notice) : null,
    open ? el("p", { class: "sw-screen" }, el("a", { class: "md-button md-button--primary", href: format(at(state, null)) }, "Go on with the questions")) : null,
    el("div", { class: "sw-parts" }, part("Who may do it", report.who, WHO, titles), part("Is it sized right", report.sizing, HEADLINES, titles)),
    cautions(report),
    changes(report, state),
    findOut(report, state),
    numbers(report, names),
    job(report, "The job, step by step", report.steps),
    job(report, "How it is connected", report.connections),
    job(report, "Tests afterwards", report.tests),
    sheetSection(sheet, (question) => format(at(state, question))),
    section("Who has the last word", textList(report.defers_to)),
    section("What was not checked", textList(report.not_checked)),
    findingsByStage(report, stages, state),
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
  return el("nav", { class: "sw-contents sw-screen", "aria-label": "In this report" }, [...page.querySelectorAll(".sw-section > h2")].map((heading) =>
    el("button", { type: "button", class: "sw-link", on: { click: () => lead(heading) } }, heading.textContent)));
}

/** A list for whoever does the work. It stands open when the work may go on, and is one fold away before that. */
function job(report, title, items) {
  const list = textList(items, true);
  return section(title, report.headline === "fits" ? list : list && fold(`${items.length} entries, for when it fits`, list));
}

/** The first few stand open; nobody reads twenty. The steps of the job come back to the rest. */
const CAUTIONS_OPEN = 4;
function cautions({ cautions: all }) {
  const rest = all.slice(CAUTIONS_OPEN);
  return el("div", { class: "sw-cautions" }, section(
    "Mind this first",
    textList(all.slice(0, CAUTIONS_OPEN)),
    rest.length ? fold(`${rest.length} more, to read before the work begins`, textList(rest)) : null,
  ));
}

function headline(report) {
  const { word, shape: form } = HEADLINES[report.headline];
  return el(
    "div", { class: `sw-headline sw-head-${report.headline}` },
    shape(form),
    el("div", {}, el("p", { class: "sw-word" }, word), el("h1", { id: "sw-title", tabindex: "-1" }, report.headline_text)),
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
    el("p", {}, judged.text),
    because.length > 4 ? fold(`Because of ${because.length} rules`, list) : because.length ? list : null,
  );
}

function fixes(findings) {
  return el("ul", { class: "sw-todo" }, findings.map((finding) => el(
    "li", {}, finding.fix, el("span", { class: "sw-hint" }, toFinding(finding.rule, finding.title)))));
}

/** What failed, with its remedy; then sets of changed answers that would clear it, each to be tried. */
function changes(report, state) {
  const [failed, advice] = [false, true].map((only) => report.findings.filter(
    (finding) => finding.outcome === "failed" && finding.fix && (finding.weight === "advice") === only));
  const sets = report.changes.filter((change) => Object.keys(change.answers).length);
  const none = report.changes.filter((change) => !Object.keys(change.answers).length);
  return section(
    failed.length ? "What has to change" : "What could be better",
    failed.length ? fixes(failed) : null,
    sets.length ? el("h3", {}, "Any one of these would clear the sizing") : null,
    sets.length ? el("ul", { class: "sw-todo" }, sets.map((change) => el(
      "li", {}, change.text, el("p", { class: "sw-screen" }, el("a", { href: format(withAnswers(state, change.answers, "report")) },
        "Judge it with this change", el("span", { class: "sw-hidden" }, ` ${change.text}`))),
    ))) : null,
    none.map((change) => el("p", {}, change.text)),
    advice.length ? el("h3", {}, "Advice, which changes no verdict") : null,
    advice.length ? fixes(advice) : null,
  );
}

function findOut(report, state) {
  if (!report.find_out.length) return null;
  const waitsFor = new Map();
  for (const finding of report.findings) for (const reason of finding.reasons) waitsFor.set(`${reason.kind} ${reason.id}`, reason.kind);
  return section("What to find out", el("ol", { class: "sw-todo" }, report.find_out.map((item) => el(
    "li", {}, item.text,
    item.how ? el("span", { class: "sw-hint" }, item.how) : null,
    el("p", { class: "sw-screen" }, item.question
      ? el("a", { href: format(at(state, item.question)) }, "Answer this", el("span", { class: "sw-hidden" }, ` ${item.text}`))
      : item.cell && waitsFor.has(`confirm ${item.cell}`) ? confirmLink(item.cell, state) : ""),
  ))));
}

function numbers(report, names) {
  const worked = Object.entries(report.quantities);
  return section(
    "The numbers",
    margins(report, names),
    report.flips.length ? fold(`How far ${report.flips.length === 1 ? "one number is" : `${report.flips.length} numbers are`} from another verdict`, textList(report.flips)) : null,
    worked.length ? fold("Everything that was worked out", el("dl", { class: "sw-answers" }, worked.map(([name, quantity]) => el(
      "div", {}, el("dt", {}, nameText(name, names)),
      el("dd", {}, el("span", { title: `exactly ${quantity.exact}` }, withUnit(quantity.value, quantity.unit))),
    )))) : null,
  );
}

/** What it takes to get the same verdict again, here or on the command line. */
function replay(report, text, { format: _format, ask: _ask, ...answersFile }) {
  const row = (name, value) => (value ? el("div", {}, el("dt", {}, name), el("dd", {}, value)) : null);
  const button = (label, name, content) => el("button", { type: "button", class: "md-button sw-small", on: { click: () => save(name, content()) } }, label);
  return section(
    "To get this verdict again",
    el("p", {}, "The same answers, rules and date always give the same verdict. The answers file can be judged again by the command line."),
    el(
      "p", { class: "sw-buttons sw-screen" },
      el("button", { type: "button", class: "md-button sw-small", on: { click: () => window.print() } }, "Print"),
      button("Save the answers", "spareway-answers.json", () => `${JSON.stringify(answersFile, null, 1)}\n`),
      button("Save the report", "spareway-report.json", () => text),
    ),
    el(
      "dl", { class: "sw-answers sw-replay" },
      row("Judged on", report.as_of),
      row("Rule set", `${report.pack.title} (${report.pack.id})`),
      row("Edition", report.pack.edition),
      row("Version of the rules", report.pack.version),
      row("To be reviewed by", report.pack.review_by),
      row("Fingerprint of the rules (SHA-256)", el("code", {}, report.pack.sha256)),
      row("Version of the checker", report.engine),
    ),
  );
}

function save(name, content) {
  const address = URL.createObjectURL(new Blob([content], { type: "application/json" }));
  el("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
