// One question a page, put up: with what is clear by now above it and the answers so far below.

import { go, state } from "./address.mjs";
import { answersSoFar } from "./answers.mjs";
import { saySettled, show } from "./frame.mjs";
import { questionView } from "./question.mjs";
import { settledNotice } from "./screens.mjs";
import { before, format, withAnswers } from "./state.mjs";

/** `reply`: the `next` reply that belongs to it; `questions`: null while the core is not there yet. */
export function showQuestion(reply, question, questions, moveFocus) {
  const held = state;
  const repeated = held.answers.has(question.id);
  const form = questionView(question, {
    given: held.answers.get(question.id),
    back: format(before(held, question.id)),
    left: repeated ? null : (held.at === "beyond" ? reply.beyond : reply.remaining)?.at_most ?? null,
    answer: (value) => go(withAnswers(held, { [question.id]: value }, held.at === "beyond" ? "beyond" : null)),
  });
  show(question.text, [settledNotice(reply.settled, held), form, questions && answersSoFar(held, questions)], moveFocus);
  saySettled(reply.settled?.headline ?? null);
}
