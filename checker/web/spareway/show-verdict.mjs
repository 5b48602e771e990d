// What the core says to all answers, put up: the question that is still open, the report, or the worksheet.

import { note, state } from "./address.mjs";
import { ask, describe, supposing } from "./asking.mjs";
import { first, start, titleOf } from "./built.mjs";
import { show } from "./frame.mjs";
import { planSection } from "./plan.mjs";
import { reportView } from "./report.mjs";
import { rulesSpeak, t } from "./say.mjs";
import { anotherCircuit, errorView } from "./screens.mjs";
import { shortPlace } from "./short.mjs";
import { showQuestion } from "./show-question.mjs";
import { at, format, request, today, withAnswers, without } from "./state.mjs";
import { worksheetView } from "./worksheet.mjs";

/** Asks the core what belongs on the screen for `wanted`; returns a function that draws it. */
export async function judge(wanted, moveFocus) {
  const about = await describe(wanted.pack);
  const failed = (reply, questions) => () => show(t("page.error"), [errorView(reply, wanted, questions)], moveFocus);
  if (about.reply.error) return failed(about.reply, new Map());
  const { questions, rules, names } = about;
  rulesSpeak(about.reply.pack.language);
  if (wanted.at === "worksheet") return worksheet(wanted, about, moveFocus);
  const { reply } = await ask(request("next", wanted, questions, today()));
  const chosen = questions.get(wanted.at);
  if (reply.error) return chosen ? () => showQuestion({ remaining: null }, chosen, questions, moveFocus) : failed(reply, questions);
  // Beyond: nothing can change the verdict any more, and the person goes on to learn the rest.
  const further = wanted.at === "beyond" ? reply.beyond.question : null;
  const question = chosen ?? (wanted.at === "report" ? null : reply.question ?? further);
  if (question) return () => showQuestion(reply, question, questions, moveFocus);
  const asked = request("check", wanted, questions, today());
  const { text, reply: report } = await ask(asked);
  if (report.error) return failed(report, questions);
  const parts = { report, text, request: asked, compare: comparison(asked), sheet: () => ask({ ...asked, ask: "sheet" }), suppose: () => shortPlace(supposing(wanted, questions), wanted, about), state: wanted, stages: about.reply.pack.stages, questions, rules, names, reference: first[wanted.pack].reference, open: reply.question !== null, beyond: reply.beyond.question ? reply.beyond.at_most : 0 };
  const keep = (typed) => note({ ...state, plan: typed });
  const plan = planSection(asked, about.reply.plan.questions, (wish) => ask(wish), wanted.plan, keep, { check: questions, href: (id) => format(at(wanted, id)) });
  return () => show(report.headline_text, [reportView(parts), plan, anotherCircuit(wanted)], moveFocus);
}

/** All answers on one page; each change is judged at once, and the address follows without drawing the page again. */
async function worksheet(wanted, { reply: { pack }, questions }, moveFocus) {
  // What is not shown here costs most of the time: the report works it out.
  const check = async (held) => (await ask({ ...request("check", held, questions, today()), working: false })).reply;
  const change = async (id, value) => {
    note(value === null ? without(state, id) : withAnswers(state, { [id]: value }, "worksheet"));
    const held = state;
    return { reply: await check(held), state: held };
  };
  const open = async (held) => {
    const { reply: { error, supposed } } = await supposing(held, questions)();
    return error ? questions.keys() : [...supposed.waits_for, ...supposed.lines.map((line) => line.question)];
  };
  const report = await check(wanted);
  return () => show(t("worksheet.title"), [worksheetView({ state: wanted, stages: pack.stages, questions, report, change, open })], moveFocus);
}

/** Asks for the same job under other rule sets; `chosen` are names as on the first screen. */
function comparison({ pack, edition, ask: _ask, ...rest }) {
  const mine = edition ? `${pack}@${edition}` : pack;
  const others = [...start.querySelectorAll("input")].filter((input) => input.value !== mine)
    .map((input) => ({ name: input.value, title: titleOf(input) }));
  return { others, ask: (chosen) => ask({ ...rest, ask: "compare", packs: [mine, ...chosen] }) };
}
