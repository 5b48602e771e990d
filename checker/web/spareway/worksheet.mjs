// All answers on one page, with the verdict beside them as they change: for somebody who learns, or who wants to try.

import { el, shape } from "./dom.mjs";
import { helpFold } from "./field.mjs";
import { readNumber, rangeText } from "./numbers.mjs";
import { rulesLanguage, t, tn } from "./say.mjs";
import { at, format } from "./state.mjs";
import { DONT_KNOW, HEADLINES, NOT_STATED, WHO, answerText, choicesOf, unitSign } from "./words.mjs";

/**
 * `questions`: Map(id -> question); `report`: the `check` reply to what is held; `change(id, text or null)`: a promise of
 * `{reply, state}` with that answer put in or taken out, the address already told; `open(state)`: a promise of the ids of
 * the questions that may still decide the case.
 */
export function worksheetView({ state, stages, questions, report, change, open }) {
  const verdict = el("div", { class: "sw-worksheet-verdict", role: "status" });
  const full = el("a", { class: "md-button sw-small" }, t("worksheet.report"));
  const one = el("a", { class: "sw-back" }, t("worksheet.one"));
  const every = el("button", { type: "button", class: "md-button sw-small", on: { click: () => showEvery() } });
  const rows = new Map();
  let turn = 0;
  const draw = (reply, held) => {
    full.href = format(at(held, "report"));
    one.href = format(at(held, null));
    verdict.replaceChildren(...(reply.error ? refused(reply.error) : judged(reply)));
    const mine = turn;
    open(held).then((ids) => mine === turn && reveal([...held.answers.keys(), ...ids]));
  };
  // What was shown once stays: a row does not go while somebody works on it.
  const reveal = (ids) => {
    for (const { element, stage } of [...ids].map((id) => rows.get(id)).filter(Boolean)) element.hidden = stage.hidden = false;
    every.textContent = tn("worksheet.every", { n: hiddenOf(rows).length });
    every.hidden = !hiddenOf(rows).length;
  };
  const showEvery = () => {
    const [next] = hiddenOf(rows);
    reveal(rows.keys());
    next.element.querySelector(".sw-input").focus();
  };
  const put = async (id, value) => {
    const mine = ++turn;
    const { reply, state: held } = await change(id, value);
    if (mine === turn) draw(reply, held);
  };
  const form = el("form", { novalidate: true, autocomplete: "off", on: { submit: (event) => event.preventDefault() } }, stages.map((part) => {
    const here = [...questions.values()].filter((question) => question.stage === part.id);
    if (!here.length) return null;
    const stage = el("fieldset", { class: "sw-field sw-worksheet-stage", hidden: true }, el("legend", {}, el("h2", { lang: rulesLanguage() }, part.title)));
    for (const question of here) {
      const element = row(question, state.answers.get(question.id), (value) => put(question.id, value));
      element.hidden = true;
      rows.set(question.id, { element, stage });
      stage.append(element);
    }
    return stage;
  }));
  draw(report, state);
  return el(
    "div", { class: "sw-worksheet" },
    el("p", { class: "sw-way" }, one),
    el("h1", { id: "sw-title", tabindex: "-1" }, t("worksheet.title")),
    el("p", {}, t("worksheet.lead")),
    el("div", { class: "sw-worksheet-top" }, verdict, full),
    form,
    el("p", { class: "sw-screen" }, every),
  );
}

const hiddenOf = (rows) => [...rows.values()].filter(({ element }) => element.hidden);

function judged(report) {
  const failed = report.findings.filter((finding) => finding.outcome === "failed" && finding.weight !== "advice");
  const line = (title, { word, shape: form }, text) => el("p", {}, shape(form), " ", `${title}: `, el("strong", {}, word), ". ", el("span", { lang: rulesLanguage() }, text));
  const { word, shape: form } = HEADLINES[report.headline];
  return [
    el("p", { class: `sw-head-${report.headline}` }, shape(form), " ", el("strong", { class: "sw-word" }, word)),
    line(t("report.who"), WHO[report.who.outcome], ""),
    line(t("report.sizing"), HEADLINES[report.sizing.outcome], report.sizing.text),
    failed.length ? el("p", { class: "sw-worksheet-more", lang: rulesLanguage() }, failed.slice(0, 3).map((finding) => finding.title).join("; "), failed.length > 3 ? " …" : "") : null,
    report.find_out.length ? el("p", { class: "sw-worksheet-more" }, tn("worksheet.open", { n: report.find_out.length })) : null,
  ].filter(Boolean);
}

function refused({ what, fix }) {
  return [el("p", { class: "sw-error" }, `${what} ${fix}`)];
}

function others(question) {
  return [[DONT_KNOW, question.dont_know], [NOT_STATED, question.not_stated]].filter(([, allowed]) => allowed)
    .map(([value]) => [value, answerText(question, value)]);
}

function select(id, given, options, props, keep) {
  const box = el("select", { id, class: "sw-input", ...props, on: { change: () => keep(box.value || null) } },
    options.map(([value, label, lang]) => el("option", { value, selected: value === (given ?? ""), lang }, label)));
  return box;
}

function row(question, given, put) {
  const id = `sw-w-${question.id}`;
  const label = el("label", { for: id, lang: rulesLanguage() }, question.text);
  if (question.kind !== "number") {
    const choices = choicesOf(question).map(({ value, label: text }) => [value, text, question.kind === "yes-no" ? null : rulesLanguage()]);
    return el("div", { class: "sw-worksheet-row" }, label, select(id, given, [["", t("worksheet.none")], ...choices, ...others(question)], {}, put), helpFold(question));
  }
  const unit = unitSign(question.unit);
  const limits = { minimum: question.minimum, maximum: question.maximum, unit: question.unit ?? "" };
  const error = el("p", { class: "sw-error", id: `${id}-error`, hidden: true });
  const range = rangeText(question.minimum, question.maximum, unit);
  const special = others(question);
  const held = special.some(([value]) => value === given) ? "" : given ?? "";
  const input = el("input", {
    id, class: "sw-input", type: "text", inputmode: "decimal", maxlength: "20", value: held, autocomplete: "off",
    "aria-describedby": `${id}-error ${id}-range`, on: { change: typed },
  });
  const instead = special.length ? select(`${id}-instead`, held === "" ? given : "", [["", t("worksheet.figure")], ...special],
    { "aria-label": t("worksheet.instead", { question: question.text }) }, (value) => {
      input.value = "";
      complain(null);
      put(value);
    }) : null;
  function typed() {
    if (input.value.trim() === "") {
      complain(null);
      put(instead?.value || null);
      return;
    }
    const read = readNumber(input.value, limits);
    complain(read.error);
    if (read.error) return;
    if (instead) instead.value = "";
    put(read.value);
  }
  function complain(sentence) {
    error.textContent = sentence ?? "";
    error.hidden = !sentence;
    input.setAttribute("aria-invalid", String(Boolean(sentence)));
  }
  return el("div", { class: "sw-worksheet-row" }, label,
    el("div", { class: "sw-number" }, input, unit ? el("span", { class: "sw-unit" }, unit) : null, instead),
    range ? el("p", { class: "sw-range", id: `${id}-range` }, range) : null, error, helpFold(question));
}
