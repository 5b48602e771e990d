// What a report tells to change or to find out, and which numbers have least to spare.

import { counted, el, fold, folded, section } from "./dom.mjs";
import { confirmLink, gauge, toFinding } from "./findings.mjs";
import { rulesLanguage, t } from "./say.mjs";
import { at, format, withAnswers } from "./state.mjs";
import { answerText } from "./words.mjs";

/** Whether nobody may go on, or another has to: then what is said of sizes waits behind a tap. */
export function isBarred({ headline: word }) {
  return word === "stop" || word === "call";
}

/** Danger or law first, then what failed in size, with its remedy; then sets of changed answers that would clear it, each to be tried. */
const CHANGES_OPEN = 4;
export function changes(report, causes, state, questions) {
  const barred = isBarred(report);
  const failed = report.findings.filter((finding) => finding.outcome === "failed" && finding.fix && finding.weight !== "advice");
  const first = barred ? causes.slice(1) : [];
  const rest = failed.filter((finding) => !causes.includes(finding) || !barred);
  const sets = report.changes.filter((change) => Object.keys(change.answers).length);
  const none = report.changes.filter((change) => !Object.keys(change.answers).length);
  const sized = [
    rest.length ? fixes(rest, CHANGES_OPEN) : null,
    sets.length ? el("h3", {}, t("changes.sets")) : null,
    sets.length ? listed(sets.map((change) => el(
      "li", {}, el("span", { lang: rulesLanguage() }, change.text), changed(report, change, questions), el("p", { class: "sw-screen" }, el("a", { href: format(withAnswers(state, change.answers, "report")) },
        t("changes.try"), el("span", { class: "sw-hidden" }, ` ${change.text}`))),
    )), 2) : null,
    none.map((change) => el("p", { lang: rulesLanguage() }, change.text)),
  ].flat(2);
  if (!barred) return section(t("changes.title"), ...sized);
  return [
    first.length ? section(t("changes.also"), first.map((finding) => fold(finding.title, el("p", { lang: rulesLanguage() }, finding.message), el("p", { lang: rulesLanguage() }, finding.fix)))) : null,
    folded(t("changes.title"), counted(rest.length), ...sized),
  ];
}

/** Which answers a set of changes turns into which. */
function changed(report, change, questions) {
  return el("dl", { class: "sw-answers" }, Object.entries(change.answers).map(([id, value]) => {
    const before = report.answers[id] ?? report.assumed?.[id]?.value;
    const old = before === undefined ? t("changes.not-answered") : answerText(questions.get(id), before);
    return el("div", {}, el("dt", { lang: rulesLanguage() }, questions.get(id)?.label ?? id), el("dd", {}, t("changes.from-to", { old, new: answerText(questions.get(id), value) })));
  }));
}

/** What does not stand against it, and would be better otherwise. */
export function advice(report) {
  const found = report.findings.filter((finding) => finding.outcome === "failed" && finding.fix && finding.weight === "advice");
  return folded(t("changes.better"), counted(found.length), found.length ? el("p", { class: "sw-hint" }, t("changes.advice")) : null, found.length ? fixes(found, found.length) : null);
}

/** The numbers with least to spare. */
const NEAR_OPEN = 3;
export function nearest(report) {
  if (isBarred(report)) return null;
  const passed = tightestFirst(report.findings.filter((finding) => finding.outcome === "passed" && finding.left && finding.margin_percent !== null));
  return section(t("near.title"), passed.length ? el("ul", { class: "sw-near" }, passed.slice(0, NEAR_OPEN).map(
    (finding) => el("li", {}, toFinding(finding.rule, finding.title), gauge(finding)))) : null);
}

/** What settles most stands open. */
const FIND_OUT_OPEN = 3;
export function findOut(report, state) {
  if (!report.find_out.length) return null;
  const waitsFor = new Map();
  for (const finding of report.findings) for (const reason of finding.reasons) waitsFor.set(`${reason.kind} ${reason.id}`, reason.kind);
  const list = listed(report.find_out.map((item) => el(
    "li", {}, el("span", { lang: rulesLanguage() }, item.text),
    item.how ? el("span", { class: "sw-hint", lang: rulesLanguage() }, item.how) : null,
    el("p", { class: "sw-screen" }, item.question
      ? el("a", { href: format(at(state, item.question)) }, t("findout.answer"), el("span", { class: "sw-hidden" }, ` ${item.text}`))
      : item.cell && waitsFor.has(`confirm ${item.cell}`) ? confirmLink(item.cell, state) : ""),
  )), FIND_OUT_OPEN, true);
  return isBarred(report) ? folded(t("findout.title"), counted(report.find_out.length), list) : section(t("findout.title"), list);
}

function fixes(findings, most) {
  return listed(tightestFirst(findings).map((finding) => el(
    "li", {}, toFinding(finding.rule, finding.title), gauge(finding),
    finding.left ? null : el("p", { lang: rulesLanguage() }, finding.message),
    el("p", { lang: rulesLanguage() }, finding.fix))), most);
}

/** Smallest room first; a failed comparison has less than none. */
function tightestFirst(findings) {
  const room = ({ margin_percent: margin }) => (margin === null ? Infinity : Number(margin));
  return [...findings].sort((a, b) => room(a) - room(b));
}

/** Entries of which the first few stand open. */
function listed(entries, most, ordered = false) {
  const tag = ordered ? "ol" : "ul";
  const rest = entries.slice(most);
  return [
    el(tag, { class: "sw-todo" }, entries.slice(0, most)),
    rest.length ? fold(t("report.more", { n: rest.length }), el(tag, { class: "sw-todo", start: ordered ? most + 1 : null }, rest)) : null,
  ];
}
