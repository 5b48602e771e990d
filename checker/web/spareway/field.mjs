// One question on a screen with others: buttons to choose from, or a field for a number.

import { el, fold, untouched } from "./dom.mjs";
import { rangeText, readNumber } from "./numbers.mjs";
import { pictureFor } from "./pictures.mjs";
import { rulesLanguage, t } from "./say.mjs";
import { DONT_KNOW, NOT_STATED, choicesOf, otherAnswers, unitSign, unitSpoken, withUnit } from "./words.mjs";

/**
 * The field of `question`. `given`: the answer held, or undefined; `put(value, error, tapped)` is called with an answer, or with
 * what is wrong with it, when there is one; `tapped`: chosen from a list.
 * `level`: of its heading. `name` keeps the ids apart where a question stands on the page twice.
 *
 * `read()` gives `{value}`, `{error}`, or `{}` where nothing was typed or chosen.
 */
export function fieldView(question, given, put, { level = 2, name = question.id } = {}) {
  const id = `sw-f-${name}`;
  const error = el("p", { class: "sw-error", id: `${id}-error`, hidden: true });
  const shown = { value: given };
  const inner = question.kind === "number" ? numberField(question, id, shown, put) : choices(question, choicesOf(question), shown, put);
  const others = choices(question, otherAnswers(question).reverse(), shown, (...answer) => {
    inner.clear();
    put(...answer);
  }, "sw-pick-other");
  const heading = el(`h${level}`, { id, class: "sw-ask-text", tabindex: "-1", lang: rulesLanguage() }, inner.label ?? question.text);
  const element = el(
    "div", { class: "sw-ask", role: "group", "aria-labelledby": id, "aria-describedby": error.id, "data-question": question.id, "data-kind": question.kind },
    heading, error, el("div", { class: `sw-picks sw-picks-${question.kind}` }, inner.elements, others.elements), inner.below, helpFold(question),
  );
  const draw = () => {
    for (const button of element.querySelectorAll("[data-value]")) button.setAttribute("aria-pressed", String(button.dataset.value === shown.value));
  };
  draw();
  const complain = (sentence) => {
    error.textContent = sentence ?? "";
    error.hidden = !sentence;
    inner.invalid?.(Boolean(sentence));
  };
  element.addEventListener("click", (event) => event.target.closest?.("[data-value]") && complain(null));
  return {
    id: question.id,
    element,
    complain,
    value: () => shown.value,
    /** Shows `value` as the answer; undefined: none. */
    hold(value) {
      shown.value = value;
      draw();
    },
    read() {
      const typed = inner.read?.();
      return typed ?? (shown.value === undefined ? {} : { value: shown.value });
    },
    focus: () => (inner.control ?? element.querySelector("button")).focus(),
    heading,
  };
}

function choices(question, all, shown, put, kind = "") {
  const lang = kind || question.kind === "yes-no" ? null : rulesLanguage();
  return {
    elements: all.map(({ value, label }) => el("button", {
      type: "button", class: `sw-pick ${kind}`.trim(), lang, "data-value": value, value, "aria-pressed": "false", on: { click: () => put(value, null, true) },
    }, label)),
    clear() {},
  };
}

function numberField(question, id, shown, put) {
  const unit = unitSign(question.unit);
  const range = rangeText(question.minimum, question.maximum, unit);
  const special = [DONT_KNOW, NOT_STATED].includes(shown.value);
  const understood = el("p", { class: "sw-range", id: `${id}-range`, role: "status" }, range);
  const input = el("input", {
    type: "text", inputmode: "decimal", id: `${id}-number`, class: "sw-input", maxlength: "20", autocomplete: "off",
    value: special ? "" : shown.value ?? "", "aria-describedby": `${id}-error ${id}-range`,
  });
  const read = () => (input.value.trim() === "" ? null : readNumber(input.value, { minimum: question.minimum, maximum: question.maximum, unit: question.unit ?? "" }));
  // Typing is done when the field is left; an error waits until then too.
  input.addEventListener("change", async () => {
    await untouched();
    const found = read();
    understood.textContent = found?.value && found.value !== input.value.trim() ? t("number.read", { value: withUnit(found.value, question.unit) }) : range;
    if (found) put(found.value, found.error);
  });
  return {
    label: numberLabel(question, input.id),
    elements: [el("span", { class: "sw-number" }, input, unit ? el("span", { class: "sw-unit", "aria-hidden": "true" }, unit) : null)],
    below: understood,
    control: input,
    read,
    clear() {
      input.value = "";
      understood.textContent = range;
    },
    invalid: (wrong) => input.setAttribute("aria-invalid", String(wrong)),
  };
}

/** The text of a question as the label of its field for a number, with the unit for whoever hears it. */
export function numberLabel(question, id) {
  const spoken = unitSpoken(question.unit);
  return el("label", { for: id }, question.text, spoken ? el("span", { class: "sw-hidden" }, ` ${t("question.in-unit", { unit: spoken })}`) : null);
}

/** Everything there is to say about a question, one tap away. */
export function helpFold(question) {
  const lang = rulesLanguage();
  const hints = choicesOf(question).filter((choice) => choice.help);
  const help = fold(
    t("field.help"),
    question.help ? el("p", { lang }, question.help) : null,
    hints.length ? el("dl", { lang }, hints.flatMap((choice) => [el("dt", {}, el("strong", {}, choice.label)), el("dd", {}, choice.help)])) : null,
    question.find_out ? el("p", { lang }, el("strong", {}, t("question.how"), ": "), question.find_out) : null,
    question.why ? el("p", { lang }, el("strong", {}, t("question.why"), ": "), question.why) : null,
    pictureFor(question.id),
  );
  help?.classList.add("sw-help-fold");
  help?.querySelector("summary").append(el("span", { class: "sw-hidden" }, `: ${question.label ?? question.text}`));
  return help;
}
