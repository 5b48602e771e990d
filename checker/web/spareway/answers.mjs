// The answers so far, each with a way to change it.

import { counted, el, folded } from "./dom.mjs";
import { rulesLanguage, t } from "./say.mjs";
import { EMPTY, at, doubting, format, without } from "./state.mjs";
import { answerText } from "./words.mjs";

/** A list of question, answer and Change. A question the rule set does not know can only be removed. */
function answerRows(state, questions) {
  return el("dl", { class: "sw-answers" }, [...state.answers].map(([id, value]) => {
    const question = questions.get(id);
    const change = question
      ? link(at(state, id), t("answers.change"), question.label)
      : link(without(state, id), t("answers.remove"), id);
    return el("div", {}, el("dt", { lang: rulesLanguage() }, question?.label ?? id), el("dd", {}, answerText(question, value)), el("dd", {}, change));
  }));
}

function link(state, word, what) {
  return el("a", { href: format(state) }, word, el("span", { class: "sw-hidden" }, ` ${what}`));
}

/** The answers under a question: folded, and left open or closed as the person left it. */
let open = matchMedia("(min-width: 60em)").matches; // a wide screen has room for them
export function answersSoFar(state, questions) {
  if (!state.answers.size) return null;
  const fold = el(
    "details", { class: "sw-fold sw-sofar", open, on: { toggle: () => { open = fold.open; } } },
    el("summary", {}, t("answers.so-far", { n: state.answers.size })),
    answerRows(state, questions),
    el("p", {}, el("a", { href: format(EMPTY) }, t("page.again"))),
  );
  return fold;
}

/** The answers in a report, with what was assumed and which figures the person has confirmed. */
export function answersJudged(state, questions, report) {
  const assumed = Object.entries(report.assumed ?? {});
  return folded(
    t("answers.title"), counted(state.answers.size),
    state.answers.size ? answerRows(state, questions) : el("p", {}, t("answers.none")),
    assumed.length ? el("h3", {}, t("answers.assumed")) : null,
    assumed.length ? el("dl", { class: "sw-answers" }, assumed.map(([id, { value, why }]) => el(
      "div", {},
      el("dt", { lang: rulesLanguage() }, questions.get(id).label),
      el("dd", {}, answerText(questions.get(id), value), why ? el("span", { class: "sw-hint", lang: rulesLanguage() }, why) : null),
      el("dd", {}, link(at(state, id), t("answers.change"), questions.get(id).label)),
    ))) : null,
    state.confirmed.length ? el("h3", {}, t("answers.confirmed")) : null,
    state.confirmed.length ? el("ul", {}, state.confirmed.map((cell) => el(
      "li", {}, el("code", {}, cell), " ", link(doubting(state, cell), t("answers.take-back"), cell),
    ))) : null,
    el("p", { class: "sw-screen" }, el("a", { href: format(EMPTY) }, t("page.again"))),
  );
}
