// The check page: draws the screen that the address asks for. The address is the only memory (see state.mjs).

import { answersSoFar } from "./answers.mjs";
import { Checker } from "./client.mjs";
import { el } from "./dom.mjs";
import { tableOf, walk } from "./early-verdict.mjs";
import { keepForLater } from "./offline.mjs";
import { learn } from "./pictures.mjs";
import { planSection } from "./plan.mjs";
import { questionView } from "./question.mjs";
import { reportView } from "./report.mjs";
import { rulesSpeak, t } from "./say.mjs";
import { openSaved } from "./saved.mjs";
import { earlyView, errorView, laterLinks, settledNotice, settledText, waitingView, watchdog } from "./screens.mjs";
import { shortBelow, shortPlace } from "./short.mjs";
import { EMPTY, at, before, format, parse, request, ruleSet, today, withAnswers, without } from "./state.mjs";
import { namesOf } from "./words.mjs";
import { worksheetView } from "./worksheet.mjs";

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
  say(kept && status.kind === "ready" ? t("page.kept") : line);
  if (status.kind === "ready") keepOnce();
  alertBox.replaceChildren(...(alert ? [alert] : []));
});

/** Keeping everything for later waits until the first start is over: both go over the same line. */
let asked = false;
let kept = false;
function keepOnce() {
  if (asked) return;
  asked = true;
  keepForLater(new URL("../", import.meta.url), {
    offer: (notice) => updateBox.replaceChildren(...(notice ? [notice] : [])),
    speak() {
      kept = true;
      if (checker.ready) say(t("page.kept"));
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
      show(t(`headline.${early.headline}`), [earlyView(early, wanted)], moveFocus);
      const later = await judge(wanted, true);
      if (mine === turn) document.getElementById("sw-later").replaceChildren(...laterLinks(wanted, later));
      return;
    }
    if (!checker.ready) show(t("page.loading"), [waitingView(state)], moveFocus);
  }
  const draw = await judge(state, moveFocus);
  if (mine === turn) draw();
}

/** Asks the core what belongs on the screen for `wanted`; returns a function that draws it. */
async function judge(wanted, moveFocus) {
  const described = await describe(wanted.pack);
  const failed = (reply, questions) => () => show(t("page.error"), [errorView(reply, wanted, questions)], moveFocus);
  if (described.reply.error) return failed(described.reply, new Map());
  const { questions, rules, names } = described;
  rulesSpeak(described.reply.pack.language);
  if (wanted.at === "worksheet") return worksheet(wanted, described, moveFocus);
  const { reply } = await checker.ask(request("next", wanted, questions, today()));
  const chosen = questions.get(wanted.at);
  if (reply.error) return chosen ? () => showQuestion({ remaining: null }, chosen, questions, moveFocus) : failed(reply, questions);
  // Beyond: nothing can change the verdict any more, and the person goes on to learn the rest.
  const further = wanted.at === "beyond" ? reply.beyond.question : null;
  const question = chosen ?? (wanted.at === "report" ? null : reply.question ?? further);
  if (question) return () => showQuestion(reply, question, questions, moveFocus);
  const asked = request("check", wanted, questions, today());
  const { text, reply: report } = await checker.ask(asked);
  if (report.error) return failed(report, questions);
  const parts = { report, text, request: asked, compare: comparison(asked), sheet: () => checker.ask({ ...asked, ask: "sheet" }), suppose: () => shortPlace(supposing(wanted, questions), wanted, described), state: wanted, stages: described.reply.pack.stages, questions, rules, names, reference: first[wanted.pack].reference, open: reply.question !== null, beyond: reply.beyond.question ? reply.beyond.at_most : 0 };
  const keep = (typed) => history.replaceState(null, "", format(state = { ...state, plan: typed }));
  const plan = planSection(asked, described.reply.plan.questions, (wish) => checker.ask(wish), wanted.plan, keep, { check: questions, href: (id) => format(at(wanted, id)) });
  return () => show(report.headline_text, [reportView(parts), plan], moveFocus);
}

/** All answers on one page; each change is judged at once, and the address follows without drawing the page again. */
async function worksheet(wanted, { reply: { pack }, questions }, moveFocus) {
  // What is not shown here costs most of the time: the report works it out.
  const check = async (held) => (await checker.ask({ ...request("check", held, questions, today()), working: false })).reply;
  const change = async (id, value) => {
    state = value === null ? without(state, id) : withAnswers(state, { [id]: value }, "worksheet");
    history.replaceState(null, "", format(state));
    const held = state;
    return { reply: await check(held), state: held };
  };
  const report = await check(wanted);
  return () => show(t("worksheet.title"), [worksheetView({ state: wanted, stages: pack.stages, questions, report, change })], moveFocus);
}

/** Asks for the same job under other rule sets; `chosen` are names as on the first screen. */
function comparison({ pack, edition, ask: _ask, ...rest }) {
  const mine = edition ? `${pack}@${edition}` : pack;
  const others = [...start.querySelectorAll("input")].filter((input) => input.value !== mine)
    .map((input) => ({ name: input.value, title: input.parentElement.querySelector(".sw-label").textContent }));
  return { others, ask: (chosen) => checker.ask({ ...rest, ask: "compare", packs: [mine, ...chosen] }) };
}

const supposing = (wanted, questions) => () => checker.ask({ ...request("next", wanted, questions, today()), suppose: true });
const known = new Map();
async function describe(pack) {
  if (!known.has(pack)) {
    const { reply } = await checker.ask({ format: 1, ask: "describe", ...ruleSet(pack), as_of: today() });
    if (reply.error) return { reply };
    known.set(pack, { reply, questions: new Map(reply.questions.map((question) => [question.id, question])), rules: new Map(reply.rules.map((rule) => [rule.id, rule])), names: namesOf(reply) });
  }
  learn(known.get(pack).reply.pictures);
  return known.get(pack);
}

/** `reply`: the `next` reply that belongs to it; `questions`: null while the core is not there yet. */
function showQuestion(reply, question, questions, moveFocus) {
  const held = state;
  const repeated = held.answers.has(question.id);
  const form = questionView(question, {
    given: held.answers.get(question.id),
    back: format(before(held, question.id)),
    left: repeated ? null : (held.at === "beyond" ? reply.beyond : reply.remaining)?.at_most ?? null,
    answer: (value) => go(withAnswers(held, { [question.id]: value }, held.at === "beyond" ? "beyond" : null)),
  });
  show(question.text, [settledNotice(reply.settled, held), form, questions && answersSoFar(held, questions), shortBelow(reply, held, questions && known.get(held.pack), supposing(held, questions))], moveFocus);
  const settled = reply.settled?.headline ?? null;
  if (settled !== lastSettled) say(settledText(settled));
  lastSettled = settled;
}

function showStart(moveFocus) {
  const radio = [...start.querySelectorAll("input")].find((input) => input.value === state.pack);
  if (radio) radio.checked = true;
  const note = el("p", { class: "sw-hint" }, t("page.another"));
  show(t("page.title"), [start, state.answers.size ? note : null, saved], moveFocus);
}

function begin(event) {
  event.preventDefault();
  const pack = start.querySelector("input:checked")?.value ?? "";
  const error = document.getElementById("sw-error");
  error.hidden = pack !== "";
  if (pack) {
    const place = event.submitter?.value === "worksheet" ? "worksheet" : null;
    go(pack === state.pack ? at(state, place) : { ...EMPTY, pack, at: place });
    return;
  }
  error.textContent = t("page.choose");
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

const worksheetButton = el("button", { type: "submit", value: "worksheet", class: "md-button" }, t("start.worksheet"));

// Paper shows what is folded on the screen.
const unfolded = [];
window.addEventListener("beforeprint", () => {
  unfolded.push(...view.querySelectorAll("details:not([open])"));
  for (const details of unfolded) details.open = true;
});
window.addEventListener("afterprint", () => {
  for (const details of unfolded.splice(0)) details.open = false;
});

const saved = openSaved(Object.keys(first), go);
start.addEventListener("submit", begin);
window.addEventListener("hashchange", follow);
state = parse(location.hash) ?? EMPTY;
start.querySelector(".sw-buttons").append(worksheetButton);
checker.start();
render(false);
