// The working of a finding, as a worked example: what is asked, with figures put in, what is left over, and what went in.

import { el, svg } from "./dom.mjs";
import { rulesLanguage, t } from "./say.mjs";
import { OUTCOMES, RELATIONS, answerText, nameText, withUnit } from "./words.mjs";

/** `rule`: the rule as `describe` tells it; `facts`: see `factsOf`. */
export function workingView(finding, rule, facts, names) {
  const steps = finding.left ? compared(finding, names) : [];
  const went = (rule?.reads ?? []).map((name) => facts(name)).filter(Boolean);
  return el(
    "div", { class: "sw-working" },
    steps.length ? el("ol", {}, steps.map((step) => el("li", {}, step))) : null,
    went.length ? el("p", { class: "sw-hint" }, t("working.inputs")) : null,
    went.length ? el("dl", { class: "sw-answers" }, went.map(({ name, value, origin }) => el(
      "div", {}, el("dt", {}, el("span", { lang: rulesLanguage() }, name)), el("dd", {}, value, el("span", { class: "sw-hint" }, origin))))) : null,
    rule ? el("p", { class: "sw-hint" }, t("working.rule"), " ", el("code", { lang: "zxx" }, rule.requires)) : null,
  );
}

function compared({ left, relation, right, margin_percent: margin, outcome }, names) {
  const name = (side) => el("em", {}, nameText(side.name, names));
  const figure = (side) => el("strong", {}, withUnit(side.value, side.unit));
  const exact = [left, right].filter((side) => side.exact !== side.value)
    .map((side) => t("working.exact", { value: withUnit(side.value, side.unit), exact: side.exact }));
  return [
    [t("working.asked"), " ", name(left), ` ${RELATIONS[relation]} `, name(right), "."],
    [t("working.put-in"), " ", figure(left), ` ${RELATIONS[relation]} `, figure(right), `: ${OUTCOMES[outcome].word}. `, exact.join(" ")],
    margin === null ? null : [t("working.margin", {
      left: withUnit(left.value, left.unit), right: withUnit(right.value, right.unit), margin: withUnit(margin.replace("-", "\u2212"), "percent") })],
  ].filter(Boolean);
}

/** Finds what a name stands for in this case: an answer, something taken without asking, or something worked out. */
export function factsOf(report, questions, names) {
  return (id) => {
    const name = nameText(id, names);
    const question = questions.get(id);
    if (id in report.answers) return { name, value: answerText(question, report.answers[id]), origin: t("working.from-answer") };
    if (id in (report.assumed ?? {})) return { name, value: answerText(question, report.assumed[id].value), origin: t("working.from-usual") };
    const quantity = report.quantities[id];
    return quantity ? { name, value: withUnit(quantity.value, quantity.unit), origin: t("working.from-quantity") } : null;
  };
}

/** Both sides drawn to one scale: the figure a bar, what it has to keep to a line across. The figures beside it are its text. */
export function marginBar({ left, right, outcome }, name = "sw-bar") {
  const [a, b] = [left.exact, right.exact].map(Number);
  const most = Math.max(a, b);
  if (!Number.isFinite(most) || most <= 0 || Math.min(a, b) < 0) return null;
  const long = (value) => Math.round((value / most) * 960) / 10;
  return svg("svg", { class: `${name} sw-bar-${outcome}`, viewBox: "0 0 100 10", preserveAspectRatio: "none", "aria-hidden": "true" },
    svg("rect", { class: "sw-bar-way", x: 0, y: 3, width: 100, height: 4 }),
    svg("rect", { class: "sw-bar-figure", x: 0, y: 2, width: long(a), height: 6 }),
    svg("rect", { class: "sw-bar-limit", x: long(b), y: 0, width: 1.2, height: 10 }),
  );
}
