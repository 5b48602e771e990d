// The answers so far, each with a way to change it.

import { el, section } from "./dom.mjs";
import { at, doubting, format, without } from "./state.mjs";
import { answerText } from "./words.mjs";

/** A list of question, answer and Change. A question the rule set does not know can only be removed. */
function answerRows(state, questions) {
  return el("dl", { class: "sw-answers" }, [...state.answers].map(([id, value]) => {
    const question = questions.get(id);
    const change = question
      ? link(at(state, id), "Change", question.text)
      : link(without(state, id), "Remove", id);
    return el("div", {}, el("dt", {}, question?.text ?? id), el("dd", {}, answerText(question, value)), el("dd", {}, change));
  }));
}

function link(state, word, what) {
  return el("a", { href: format(state) }, word, el("span", { class: "sw-hidden" }, ` ${what}`));
}

/** The answers under a question: folded, and left open or closed as the person left it. */
let open = false;
export function answersSoFar(state, questions) {
  if (!state.answers.size) return null;
  const fold = el(
    "details", { class: "sw-fold sw-sofar", open, on: { toggle: () => { open = fold.open; } } },
    el("summary", {}, `Your answers so far (${state.answers.size})`),
    answerRows(state, questions),
    el("p", {}, el("a", { href: "#" }, "Start again")),
  );
  return fold;
}

/** The answers in a report, with what was assumed and which figures the person has confirmed. */
export function answersJudged(state, questions, report) {
  const assumed = Object.entries(report.assumed ?? {});
  return section(
    "Your answers",
    state.answers.size ? answerRows(state, questions) : el("p", {}, "None yet."),
    assumed.length ? el("h3", {}, "Taken without asking") : null,
    assumed.length ? el("dl", { class: "sw-answers" }, assumed.map(([id, { value, why }]) => el(
      "div", {},
      el("dt", {}, questions.get(id).text),
      el("dd", {}, answerText(questions.get(id), value), why ? el("span", { class: "sw-hint" }, why) : null),
      el("dd", {}, link(at(state, id), "Change", questions.get(id).text)),
    ))) : null,
    state.confirmed.length ? el("h3", {}, "Figures your copy confirms") : null,
    state.confirmed.length ? el("ul", {}, state.confirmed.map((cell) => el(
      "li", {}, el("code", {}, cell), " ", link(doubting(state, cell), "Take back", cell),
    ))) : null,
    el("p", { class: "sw-screen" }, el("a", { href: "#" }, "Start again")),
  );
}
