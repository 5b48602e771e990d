// One question a page.

import { el, fold } from "./dom.mjs";
import { numberLabel } from "./field.mjs";
import { rangeText, readNumber } from "./numbers.mjs";
import { pictureFor } from "./pictures.mjs";
import { rulesLanguage, t, tn } from "./say.mjs";
import { answerText, choicesOf, otherAnswers, unitSign } from "./words.mjs";

/**
 * The form for `question` (as in a `next` reply). `given`: the answer held so far, or undefined. `back`: address of the
 * step before. `left`: how many more questions at most, or null. `answer(text)` is called with the answer.
 */
export function questionView(question, { given, back, left, answer }) {
  const error = el("p", { class: "sw-error", id: "sw-error", hidden: true });
  const field = question.kind === "number" ? numberField(question, given, error) : choiceField(question, given, error);
  const refuse = (sentence) => {
    error.textContent = sentence;
    error.hidden = false;
    const mark = `${t("page.error")}: `;
    document.title = mark + document.title.replace(mark, "");
    field.control().setAttribute("aria-invalid", "true");
    field.control().focus();
  };
  const submit = (event) => {
    event.preventDefault();
    const read = field.read();
    if (read.error) refuse(read.error);
    else answer(read.value);
  };
  return el(
    "form", { class: "sw-step", novalidate: true, autocomplete: "off", "data-question": question.id, "data-kind": question.kind, on: { submit } },
    el("p", { class: "sw-way" }, el("a", { href: back, class: "sw-back" }, t("page.back")), el("span", { lang: rulesLanguage() }, question.stage_title)),
    field.element,
    el(
      "p", { class: "sw-buttons" },
      el("button", { type: "submit", class: "md-button md-button--primary" }, t("question.continue")),
      field.others.map(({ value, label }) =>
        el("button", { type: "button", class: "md-button", on: { click: () => answer(value) } }, label)),
    ),
    fold(t("question.why"), el("p", { lang: rulesLanguage() }, question.why)),
    fold(t("question.how"), el("p", { lang: rulesLanguage() }, question.find_out)),
    pictureFor(question.id),
    left === null ? null : el("p", { class: "sw-left" }, leftText(left)),
  );
}

/** How many questions may follow, this one counted. */
function leftText(left) {
  return tn("question.left", { n: Math.max(left, 1) });
}

function heading(question, inside) {
  return el("h1", { id: "sw-title", tabindex: "-1", lang: rulesLanguage() }, inside ?? question.text);
}

function helpText(question) {
  const help = question.help ? el("p", { class: "sw-help", id: "sw-help", lang: rulesLanguage() }, question.help) : null;
  const usual = question.default === null || question.default === undefined ? null
    : el("p", { class: "sw-help" }, t("question.default", { answer: answerText(question, question.default) }));
  return [help, usual];
}

function choiceField(question, given, error) {
  const option = (value, label, hint, lang = null) => el(
    "label", { class: "sw-choice" },
    el("input", { type: "radio", name: "answer", value, checked: given === value }),
    el("span", { lang }, el("span", { class: "sw-label" }, label), hint ? el("span", { class: "sw-hint" }, hint) : null),
  );
  const others = otherAnswers(question).map(({ value, label }) => option(value, label, ""));
  const element = el(
    "fieldset", { class: "sw-field", "aria-describedby": "sw-error sw-help" },
    el("legend", {}, heading(question)),
    helpText(question),
    error,
    el("div", { class: "sw-choices" }, choicesOf(question).map((c) => option(c.value, c.label, c.help, question.kind === "yes-no" ? null : rulesLanguage()))),
    others.length ? el("div", { class: "sw-choices sw-others" }, others) : null,
  );
  return {
    element,
    others: [],
    control: () => element.querySelector("input"),
    read: () => {
      const chosen = element.querySelector("input:checked");
      return chosen ? { value: chosen.value } : { error: t("question.choose") };
    },
  };
}

function numberField(question, given, error) {
  const unit = unitSign(question.unit);
  const others = otherAnswers(question);
  const held = others.some(({ value }) => value === given) ? null : given;
  const input = el("input", {
    type: "text", inputmode: "decimal", id: "sw-number", class: "sw-input", value: held ?? "", maxlength: "20",
    autocomplete: "off", "aria-describedby": "sw-error sw-help sw-range",
  });
  const range = rangeText(question.minimum, question.maximum, unit);
  const element = el(
    "div", { class: "sw-field" },
    heading(question, numberLabel(question, "sw-number")),
    helpText(question),
    given !== undefined && held === null ? el("p", { class: "sw-help" }, t("question.given", { answer: answerText(question, given) })) : null,
    error,
    el("p", { class: "sw-number" }, input, unit ? el("span", { class: "sw-unit", "aria-hidden": "true" }, unit) : null),
    range ? el("p", { class: "sw-range", id: "sw-range" }, range) : null,
  );
  return {
    element,
    others,
    control: () => input,
    read: () => readNumber(input.value, { minimum: question.minimum, maximum: question.maximum, unit: question.unit ?? "" }),
  };
}

