// The check page: draws the screen that the address asks for. The address is the only memory (see state.mjs).

import { answersSoFar } from "./answers.mjs";
import { Checker } from "./client.mjs";
import { el } from "./dom.mjs";
import { tableOf, walk } from "./gates.mjs";
import { keepForLater } from "./offline.mjs";
import { planSection } from "./plan.mjs";
import { questionView } from "./question.mjs";
import { reportView } from "./report.mjs";
import { earlyView, errorView, laterLinks, settledNotice, settledText, waitingView, watchdog } from "./screens.mjs";
import { EMPTY, before, format, parse, request, ruleSet, today, withAnswers } from "./state.mjs";
import { namesOf } from "./words.mjs";

const SITE = document.title.split(" - ").at(-1);
const view = document.getElementById("sw-view");
const start = document.getElementById("sw-start"); // made at build time; taken out and put back
const first = JSON.parse(document.getElementById("sw-first").textContent); // rule set id -> its first `next` reply
const statusLine = document.getElementById("sw-status");
const alertBox = document.getElementById("sw-alert");
const updateBox = document.getElementById("sw-update");
const help = statusLine.querySelector("a").href;

let state = EMPTY;
let turn = 0; // a screen that was asked for and then overtaken by another must not be drawn
let lastSettled = null;

const checker = new Checker(new URL("worker.mjs", import.meta.url), (status) => {
  const { line, alert } = watchdog(status, () => checker.start(), help);
  say(kept && status.kind === "ready" ? KEPT : line);
  if (status.kind === "ready") keepOnce();
  alertBox.replaceChildren(...(alert ? [alert] : []));
});

/** Keeping everything for later waits until the first start is over: both go over the same line. */
let asked = false;
let kept = false;
const KEPT = "The checker is ready, also without a network.";
function keepOnce() {
  if (asked) return;
  asked = true;
  keepForLater(new URL("../", import.meta.url), {
    offer: (notice) => updateBox.replaceChildren(...(notice ? [notice] : [])),
    speak() {
      kept = true;
      if (checker.ready) say(KEPT);
    },
  });
}

function say(line) {
  if (line && statusLine.textContent !== line) statusLine.textContent = line;
}

function go(next) {
  location.hash = format(next);
}

/** Puts a screen up. Focus goes to its heading after a step, but not when the page is opened. */
function show(title, nodes, moveFocus) {
  view.replaceChildren(...nodes.filter(Boolean));
  document.title = `${title} - ${SITE}`;
  if (moveFocus) {
    window.scrollTo(0, 0);
    document.getElementById("sw-title").focus({ preventScroll: true });
  }
}

async function render(moveFocus) {
  const mine = ++turn;
  if (!Object.hasOwn(first, state.pack) || state.at === "start") {
    showStart(moveFocus);
    return;
  }
  if (!checker.ready) {
    const { question } = first[state.pack];
    if (state.at === question.id || (state.at === null && state.answers.size === 0)) {
      // It can be answered now, and is not drawn again under the hands of somebody who is answering.
      showQuestion(first[state.pack], question, null, moveFocus);
      return;
    }
    const wanted = state;
    const table = await tableOf(wanted.pack, today());
    if (mine !== turn) return;
    const early = table && !checker.ready ? walk(table, wanted.answers) : null;
    const again = table?.questions.find((question) => question.id === wanted.at);
    if (!checker.ready && again) {
      showQuestion({}, again, null, moveFocus);
      return;
    }
    if (early?.question && wanted.at === null) {
      showQuestion({}, early.question, null, moveFocus);
      return;
    }
    if (early?.headline) {
      // It is read while Python loads, and stays until the person goes on.
      show(early.headline === "stop" ? "Stop" : "Call", [earlyView(early, wanted)], moveFocus);
      const later = await judge(wanted, true);
      if (mine === turn) document.getElementById("sw-later").replaceChildren(...laterLinks(wanted, later));
      return;
    }
    if (!checker.ready) show("Loading", [waitingView(state)], moveFocus);
  }
  const draw = await judge(state, moveFocus);
  if (mine === turn) draw();
}

/** Asks the core what belongs on the screen for `wanted`; returns a function that draws it. */
async function judge(wanted, moveFocus) {
  const described = await describe(wanted.pack);
  const failed = (reply, questions) => () => show("Error", [errorView(reply, wanted, questions)], moveFocus);
  if (described.reply.error) return failed(described.reply, new Map());
  const { questions, names } = described;
  const { reply } = await checker.ask(request("next", wanted, questions, today()));
  const chosen = questions.get(wanted.at);
  if (reply.error) return chosen ? () => showQuestion({ remaining: null }, chosen, questions, moveFocus) : failed(reply, questions);
  const question = chosen ?? (wanted.at === "report" ? null : reply.question);
  if (question) return () => showQuestion(reply, question, questions, moveFocus);
  const asked = request("check", wanted, questions, today());
  const { text, reply: report } = await checker.ask(asked);
  if (report.error) return failed(report, questions);
  const sheet = () => checker.ask({ ...asked, ask: "sheet" });
  const parts = { report, text, request: asked, compare: comparison(asked), sheet, state: wanted, stages: described.reply.pack.stages, questions, names, open: reply.question !== null };
  const plan = planSection(asked, described.reply.plan.questions, (wish) => checker.ask(wish));
  return () => show(report.headline_text, [reportView(parts), plan], moveFocus);
}

/** Asks for the same job under other rule sets; `chosen` are names as on the first screen. */
function comparison({ pack, edition, ask: _ask, ...rest }) {
  const mine = edition ? `${pack}@${edition}` : pack;
  const others = [...start.querySelectorAll("input")].filter((input) => input.value !== mine)
    .map((input) => ({ name: input.value, title: input.parentElement.querySelector(".sw-label").textContent }));
  return { others, ask: (chosen) => checker.ask({ ...rest, ask: "compare", packs: [mine, ...chosen] }) };
}

const known = new Map();
async function describe(pack) {
  if (!known.has(pack)) {
    const { reply } = await checker.ask({ format: 1, ask: "describe", ...ruleSet(pack), as_of: today() });
    if (reply.error) return { reply };
    known.set(pack, { reply, questions: new Map(reply.questions.map((question) => [question.id, question])), names: namesOf(reply) });
  }
  return known.get(pack);
}

/** `reply`: the `next` reply that belongs to it; `questions`: null while the core is not there yet. */
function showQuestion(reply, question, questions, moveFocus) {
  const held = state;
  const repeated = held.answers.has(question.id);
  const form = questionView(question, {
    given: held.answers.get(question.id),
    back: format(before(held, question.id)),
    left: repeated ? null : reply.remaining?.at_most ?? null,
    answer: (value) => go(withAnswers(held, { [question.id]: value })),
  });
  show(question.text, [settledNotice(reply.settled, held), form, questions && answersSoFar(held, questions)], moveFocus);
  const settled = reply.settled?.headline ?? null;
  if (settled !== lastSettled) say(settledText(settled));
  lastSettled = settled;
}

function showStart(moveFocus) {
  const radio = [...start.querySelectorAll("input")].find((input) => input.value === state.pack);
  if (radio) radio.checked = true;
  const note = el("p", { class: "sw-hint" }, "Another rule set asks other questions: choosing one starts the answers afresh.");
  show("Check a circuit", [start, state.answers.size ? note : null], moveFocus);
}

function begin(event) {
  event.preventDefault();
  const pack = start.querySelector("input:checked")?.value ?? "";
  const error = document.getElementById("sw-error");
  error.hidden = pack !== "";
  if (pack) {
    go(pack === state.pack ? { ...state, at: null } : { ...EMPTY, pack });
    return;
  }
  error.textContent = "Choose a rule set.";
  start.querySelector("input").focus();
}

/** An address that is not ours is an anchor of the page, such as the skip link: it must not cost the answers. */
function follow() {
  const wanted = parse(location.hash);
  if (wanted) {
    state = wanted;
    render(true);
    return;
  }
  document.getElementById("sw-title").focus();
  history.replaceState(null, "", format(state));
}

// Paper shows what is folded on the screen.
const unfolded = [];
window.addEventListener("beforeprint", () => {
  unfolded.push(...view.querySelectorAll("details:not([open])"));
  for (const details of unfolded) details.open = true;
});
window.addEventListener("afterprint", () => {
  for (const details of unfolded.splice(0)) details.open = false;
});

start.addEventListener("submit", begin);
window.addEventListener("hashchange", follow);
state = parse(location.hash) ?? EMPTY;
checker.start();
render(false);
