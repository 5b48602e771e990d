// The report of a check, as a page.

import { answersJudged } from "./answers.mjs";
import { compareView } from "./compare.mjs";
import { counted, el, fold, folded, section, shape, textList } from "./dom.mjs";
import { findingsByStage, margins, toFinding } from "./findings.mjs";
import { copySection } from "./plaintext.mjs";
import { advice, changes, findOut, isBarred, nearest } from "./remedies.mjs";
import { keepButtons, replay } from "./report-kept.mjs";
import { rulesLanguage, t, tn } from "./say.mjs";
import { sheetSection } from "./sheet.mjs";
import { at, format } from "./state.mjs";
import { factsOf } from "./working.mjs";
import { HEADLINES, OUTCOMES, WHO, nameText, withUnit } from "./words.mjs";

/**
 * The page for a `check` reply: the verdict and what to do next on the first screen, then what stands against it, tightest
 * number first; all the rest is one tap away. `text` is the reply as the core gave it, `request` what was asked; then the rule
 * set's stages, questions and rules (Maps by id), names (Map, see words.mjs), folder of reference pages, `open` whether questions are left, `beyond` how many at most beyond the verdict, `compare` see
 * compare.mjs, `sheet` asks for the job sheet (see sheet.mjs), `suppose` makes the box with the short verdict (see short.mjs).
 */
export function reportView({ report, text, request, compare, sheet, suppose, state, stages, questions, rules, names, reference, open, beyond }) {
  const causes = causesOf(report);
  // The sheet is the next step where the work may go on, or where somebody has to be called.
  const toSheet = ["fits", "call"].includes(report.headline);
  const jobSheet = sheetSection(sheet, (question) => format(at(state, question)));
  return el(
    "div", { class: `sw-report sw-report-${report.headline}` },
    // Back is what comes just before the verdict, also by key.
    el("p", { class: "sw-way" }, el("a", { class: "sw-all sw-screen", href: format(at(state, "worksheet")) }, t("report.worksheet")),
      el("a", { href: format(at(state, [...state.answers.keys()].at(-1) ?? "start")), class: "sw-back" }, t("page.back"))),
    headline(report, causes),
    el("div", { class: "sw-parts" }, part(t("report.who"), report.who, WHO), part(t("report.sizing"), report.sizing, HEADLINES)),
    next(report, causes, { state, open, beyond, jobSheet, toSheet }),
    el("p", { class: "sw-hint sw-by" }, t("report.by", { pack: report.pack.title, day: report.as_of })),
    report.pack.preview ? el("p", { class: "sw-notice" }, el("strong", {}, t("report.preview"), " "), report.pack.preview) : null,
    report.pack.notice ? el("p", { class: "sw-notice" }, el("strong", {}, t("report.edition"), " "), report.pack.notice) : null,
    report.headline === "find-out" ? suppose() : null,
    changes(report, causes, state, questions),
    findOut(report, state),
    nearest(report),
    jobSheet.place,
    el("div", { class: "sw-more" },
      onPaper(cautions(report), "sw-paper-work"),
      advice(report),
      job(report),
      onPaper(numbers(report, names), "sw-paper-work"),
      flips(report),
      everyRule(report, stages, state, { rules, names, folder: reference, facts: factsOf(report, questions, names) }),
      onPaper(notChecked(report), "sw-paper"),
      answersJudged(state, questions, report),
      compareView(compare, names),
      copySection({ report, questions, names }),
      onPaper(replay(report), "sw-paper")),
    el("p", { class: "sw-paper-rest" }, t("report.paper-rest", { cautions: report.cautions.length, rules: report.findings.length })),
    keepButtons(text, request, toSheet ? null : jobSheet.show),
  );
}

/** A section behind a tap that paper shows whole: `sw-paper` always, `sw-paper-work` where the work may go on some day. */
function onPaper(made, name) {
  made?.classList.add(name);
  return made;
}

/** The rules that brought the headline about: danger or law for STOP and CALL, sizes for CHANGE, and what waits for the first thing to find out. */
function causesOf(report) {
  const { headline: word, who, sizing, findings, find_out: open } = report;
  if (word === "find-out") return findings.filter((finding) => finding.rule === open[0]?.settles[0]);
  const because = (isBarred(report) ? who : sizing).because;
  return findings.filter((finding) => because.includes(finding.rule) && finding.outcome === "failed");
}

/** What the verdict is, and why in the words of this case. */
function headline(report, [first, ...others]) {
  const { word, shape: form } = HEADLINES[report.headline];
  return el(
    "div", { class: `sw-headline sw-head-${report.headline}` },
    el("p", { class: "sw-word" }, shape(form), word),
    el("h1", { id: "sw-title", tabindex: "-1", lang: rulesLanguage() }, report.headline_text),
    first ? el("p", { class: "sw-why", lang: rulesLanguage() }, first.message) : null,
    others.length ? el("p", { class: "sw-hint" }, tn("report.more-reasons", { n: others.length })) : null,
  );
}

function part(title, judged, words) {
  const { word, shape: form } = words[judged.outcome];
  return el(
    "section", { class: `sw-part sw-part-${judged.outcome}` },
    el("h2", {}, title),
    el("p", { class: "sw-outcome" }, shape(form), " ", el("strong", {}, `${word}.`), el("span", { class: "sw-said", lang: rulesLanguage() }, ` ${judged.text}`)),
  );
}

/** The one thing to do now, and the way on. */
function next(report, [first], { state, open, beyond, jobSheet, toSheet }) {
  const set = report.changes.find((change) => Object.keys(change.answers).length);
  const item = report.find_out[0];
  const step = {
    stop: () => first?.fix,
    call: () => first?.fix,
    change: () => set?.text ?? first?.fix,
    "find-out": () => (item ? `${item.text} ${item.how ?? ""}` : null),
    fits: () => null,
  }[report.headline]();
  const made = section(
    t("next.title"),
    step ? el("p", { lang: rulesLanguage() }, step) : el("p", {}, tn("next.fits", { n: report.cautions.length })),
    el("p", { class: "sw-buttons sw-screen" },
      open ? el("a", { class: "md-button md-button--primary", href: format(at(state, null)) }, t("report.go-on")) : null,
      toSheet ? jobSheet.show : null),
    beyond ? el("p", { class: "sw-screen sw-beyond" }, tn("report.beyond", { n: beyond }), " ", el("a", { href: format(at(state, "beyond")) }, t("report.go-beyond"))) : null,
  );
  made.classList.add("sw-next");
  return made;
}

function cautions({ cautions: all }) {
  return folded(t("report.mind"), counted(all.length), textList(all));
}

/** The lists for whoever does the work; before it may go on they are for later. */
function job(report) {
  const lists = [["report.steps", report.steps], ["report.connections", report.connections], ["report.tests", report.tests]].filter(([, items]) => items.length);
  const all = lists.reduce((sum, [, items]) => sum + items.length, 0);
  return folded(t("report.job"), counted(all), report.headline === "fits" ? null : el("p", { class: "sw-hint" }, tn("report.entries", { n: all })), lists.map(([key, items]) => [el("h3", {}, t(key)), textList(items, true)]));
}

function notChecked(report) {
  return folded(t("report.not-checked"), counted(report.not_checked.length), textList(report.not_checked), el("h3", {}, t("report.last-word")), textList(report.defers_to));
}

/** Every rule, counted by how it came out; first those on which the two halves of the verdict rest. */
function everyRule(report, stages, state, about) {
  const count = (outcome) => report.findings.filter((finding) => finding.outcome === outcome).length;
  const counts = ["failed", "cannot-tell", "passed", "not-applicable"].map((outcome) => [outcome, count(outcome)]).filter(([, n]) => n)
    .map(([outcome, n]) => `${OUTCOMES[outcome].word}: ${n}`).join(", ");
  const titles = new Map(report.findings.map((finding) => [finding.rule, finding.title]));
  const rests = [[t("report.who"), report.who], [t("report.sizing"), report.sizing]].map(([title, { because }]) => {
    const rules = because.filter((rule) => titles.has(rule));
    return rules.length ? fold(t("report.because", { part: title, n: rules.length }), el("ul", {}, rules.map((rule) => el("li", {}, toFinding(rule, titles.get(rule)))))) : null;
  });
  return folded(t("findings.title"), tn("findings.passed", { n: count("passed") }), el("p", {}, counts), rests, findingsByStage(report, stages, state, about));
}

function flips({ flips: all }) {
  return all.length ? folded(t("flips.title"), counted(all.length), el("p", {}, t("flips.lead")), textList(all)) : null;
}

function numbers(report, names) {
  const worked = Object.entries(report.quantities);
  return folded(
    t("numbers.title"), counted(report.findings.filter((finding) => finding.left && finding.right).length),
    margins(report, names),
    worked.length ? fold(t("numbers.all"), el("dl", { class: "sw-answers" }, worked.map(([name, quantity]) => el(
      "div", {}, el("dt", {}, nameText(name, names)),
      el("dd", {}, el("span", { title: t("numbers.exactly", { exact: quantity.exact }) }, withUnit(quantity.value, quantity.unit))),
    )))) : null,
  );
}
