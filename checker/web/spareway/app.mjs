// The check page: draws the screen that the address asks for. The address is the only memory (see state.mjs).

import { answersSoFar } from "./answers.mjs";
import { Checker } from "./client.mjs";
import { el, untouched } from "./dom.mjs";
import { earlyStep, tableOf, walk } from "./early-verdict.mjs";
import { keepForLater } from "./offline.mjs";
import { learn } from "./pictures.mjs";
import { planSection } from "./plan.mjs";
import { questionView } from "./question.mjs";
import { reportView } from "./report.mjs";
import { SCREENS, nextScreen, onScreen, placeOf, progress, sameBoard, screenAt, screenBefore, step } from "./run.mjs";
import { openSaved } from "./saved.mjs";
import { rulesSpeak, t, tn } from "./say.mjs";
import { screenView } from "./screen.mjs";
import { earlyView, errorView, laterLinks, settledNotice, settledText, waitingView, watchdog } from "./screens.mjs";
import { shortPlace, shortView } from "./short.mjs";
import { EMPTY, at, before, format, parse, request, ruleSet, today, withAnswers, without } from "./state.mjs";
import { namesOf } from "./words.mjs";
import { worksheetView } from "./worksheet.mjs";

const SITE = document.title.split(" - ").at(-1);
const view = document.getElementById("sw-view");
const start = document.getElementById("sw-start"); // made at build time; taken out and put back
const first = JSON.parse(document.getElementById("sw-first").textContent); // rule set id -> its first `next` reply
const KEPT = "spareway-run"; // where the browser keeps the address of a run that was broken off
const statusLine = document.getElementById("sw-status");
const alertBox = document.getElementById("sw-alert");
const updateBox = document.getElementById("sw-update");
const help = statusLine.querySelector("a").href;

let state = EMPTY;
let turn = 0; // a screen that was asked for and then overtaken by another must not be drawn
let lastSettled = null;

const bootBar = el("progress", { class: "sw-progress", max: "1", "aria-label": t("run.loading") });
const checker = new Checker(new URL("worker.mjs", import.meta.url), (status) => {
  if (status.share !== undefined) {
    bootBar.value = status.share;
    if (!bootBar.isConnected) statusLine.before(bootBar);
    return;
  }
  if (status.kind === "ready" || status.kind === "failed") bootBar.remove();
  const { line, alert } = watchdog(status, () => checker.start(), help);
  say(kept && status.kind === "ready" ? t("page.kept") : line);
  if (status.kind === "ready") {
    keepOnce();
    catchUp();
  }
  alertBox.replaceChildren(...(alert ? [alert] : []));
});

/** Keeping everything for later waits until the first start is over: both go over the same line. */
let keeping = false;
let kept = false;
function keepOnce() {
  if (keeping) return;
  keeping = true;
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

/** Makes `next` what this screen stands for: no step back leads to what was there before it. */
function hold(next) {
  state = next;
  history.replaceState({ ours: true }, "", format(state));
  if (state.answers.size) keepRun(format(state));
}

/** For whoever comes back later; where nothing can be kept, the address is still there. */
function keepRun(address) {
  try {
    if (address) localStorage.setItem(KEPT, address);
    else localStorage.removeItem(KEPT);
  } catch {
    // A private window, or no room.
  }
}

function keptRun() {
  try {
    const found = parse(localStorage.getItem(KEPT) ?? "");
    return found && Object.hasOwn(first, found.pack ?? "") && found.answers.size ? found : null;
  } catch {
    return null;
  }
}

/** Asks the core, and says so where that takes longer than a moment. */
let asked = 0;
async function ask(wish) {
  asked += 1;
  const late = setTimeout(() => view.classList.toggle("sw-busy", checker.ready), 200);
  try {
    return await checker.ask(wish);
  } finally {
    clearTimeout(late);
    asked -= 1;
    if (!asked) view.classList.remove("sw-busy");
  }
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
  live = null;
  if (!Object.hasOwn(first, state.pack) || state.at === "start") {
    showStart(moveFocus);
    return;
  }
  if (state.run !== "every" && (state.at === null || state.at === "short" || screenAt(state.at))) {
    await showRun(mine, moveFocus);
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
      await showEarly(mine, early, wanted, moveFocus);
      return;
    }
    if (!checker.ready) show(t("page.loading"), [waitingView(state)], moveFocus);
  }
  const draw = await judge(state, moveFocus);
  if (mine === turn) draw();
}

/** Stop or call, which is read while Python loads, and stays until the person goes on. */
async function showEarly(mine, early, wanted, moveFocus) {
  show(t(`headline.${early.headline}`), [earlyView(early, wanted)], moveFocus);
  const further = wanted.run === "every" ? await judge(wanted, true) : () => go({ ...wanted, at: null, run: "on" });
  await describe(wanted.pack);
  if (mine === turn) document.getElementById("sw-later").replaceChildren(...laterLinks(wanted, further));
}

/** The step of the short run: from the table while Python is not there, and the table knows; otherwise as the core says. */
async function stepOf(held) {
  const { about } = first[held.pack];
  if (!checker.ready) {
    const table = await tableOf(held.pack, today());
    const early = table && !checker.ready ? earlyStep(table, held.answers) : null;
    if (early) return step(early.waits, early.questions, held.answers, { early, settled: early.settled, about });
  }
  const about_ = await describe(held.pack);
  if (about_.reply.error) return { failed: about_.reply, questions: new Map() };
  const { questions } = about_;
  rulesSpeak(about_.reply.pack.language);
  const { reply } = await supposing(held, questions)();
  if (reply.error) return { failed: reply, questions };
  const { supposed, settled } = reply;
  return step(supposed.waits_for, questions, held.answers, { described: about_, supposed, settled, about });
}

/** The screen that comes next, or the one asked for; at the end the short verdict, or the report where nothing is left to look at. */
async function showRun(mine, moveFocus) {
  const held = state;
  const known = await stepOf(held);
  if (mine !== turn) return;
  if (known.failed) {
    show(t("page.error"), [errorView(known.failed, held, known.questions)], moveFocus);
    return;
  }
  const { headline } = known.settled;
  const clear = (headline === "stop" || headline === "call") && held.run !== "on" && held.answers.size > 0;
  const screen = screenAt(held.at) ?? (clear || held.at === "short" ? null : nextScreen(known.open));
  // Before Python is there, nothing but danger and law can be asked.
  if (screen && (!known.early || SCREENS.indexOf(screen) < 2)) {
    showScreen(known, screen, held, moveFocus);
  } else if (known.early) {
    if (clear) {
      await showEarly(mine, known.early, held, moveFocus);
      return;
    }
    show(t("page.loading"), [waitingView(state)], moveFocus);
    live = { early: true, refresh: () => render(moveFocus) };
  } else if (headline === null && (known.supposed.lines.length || known.supposed.waits_for.length)) {
    showShort(known, held, moveFocus);
  } else {
    const draw = await judge({ ...held, at: "report", run: "on" }, moveFocus);
    if (mine === turn) draw();
  }
}

/** What is on the screen while the short run asks: `refresh()` draws it anew once the core can say more. */
let live = null;
function catchUp() {
  const now = live;
  if (!now?.early) return;
  now.early = false;
  now.refresh();
}

function showScreen(known, screen, held, moveFocus) {
  hold(at(held, placeOf(screen)));
  const here = { early: Boolean(known.early) };
  let latest = 0;
  const parts = (now) => {
    const before = screenBefore(screen, now.questions, state.answers);
    const questions = onScreen(screen, now, state.answers);
    const asked = new Set(questions.map((question) => question.id));
    return {
      questions,
      pictures: (now.described?.reply.pictures ?? []).filter((one) => one.screen === screen && one.questions.some((id) => asked.has(id))),
      place: progress(screen, now, state.answers, now.about),
      above: settledNotice(now.settled, state),
      beside: [running(now.settled), answersSoFar(state, now.questions)],
      back: format(at(state, before ? placeOf(before) : "start")),
    };
  };
  const draw = (now) => {
    view_.update(parts(now), state.answers);
    const settled = now.settled.headline;
    if (settled !== lastSettled) say(settledText(settled));
    lastSettled = settled;
  };
  const look = async () => {
    const mine = ++latest;
    const now = await stepOf(state);
    await untouched();
    if (live !== here) return null;
    if (now.failed) {
      show(t("page.error"), [errorView(now.failed, state, now.questions)], true);
      return null;
    }
    if (mine !== latest) return { open: true };
    draw(now);
    return { open: now.open.some((question) => question.screen === screen) };
  };
  const put = (id, value) => {
    hold(withAnswers(state, { [id]: value }, state.at));
    return look();
  };
  const title = known.described?.screens.get(screen) ?? first[held.pack].screens[screen];
  const view_ = screenView({
    screen, title, answers: state.answers, put, leave: () => go(at(state, null)), ...parts(known),
  });
  here.refresh = look;
  live = here;
  show(title, [view_.element], moveFocus);
}

/** What is clear by now, beside the questions. */
function running({ headline, findings }) {
  const failed = findings.filter((finding) => finding.outcome === "failed").map((finding) => finding.title).join(". ");
  return el("p", { class: "sw-running" }, el("strong", {}, t("run.so-far"), ": "),
    headline ? [t(`headline.${headline}`), ". ", failed, failed ? "." : ""].join("") : t("run.nothing-against"));
}

function showShort({ supposed, described }, held, moveFocus) {
  hold(at(held, "short"));
  const { questions } = described;
  const last = screenBefore(null, questions, held.answers);
  const tick = (answers) => {
    let next = state;
    for (const [id, value] of Object.entries(answers)) next = value === null ? without(next, id) : withAnswers(next, { [id]: value }, next.at);
    hold(next);
  };
  const page = shortView({
    supposed, described, state: held, tick,
    back: format(at(held, last ? placeOf(last) : "start")),
    otherwise(id, value) {
      hold(withAnswers(state, { [id]: value }, null));
      render(true);
    },
    done: () => go(at(state, "report")),
  });
  show(t("short.title"), [page, another(held)], moveFocus);
}

/** The way to another circuit of the same board, with what stays true. */
function another(held) {
  const answers = sameBoard(held.answers);
  if (!answers.size) return null;
  const next = { ...held, answers, confirmed: held.confirmed, at: null, run: null, plan: new Map() };
  return el("p", { class: "sw-screen sw-another" }, el("a", { href: format(next) }, t("run.another")), el("span", { class: "sw-hint" }, t("run.another-lead")));
}

/** Asks the core what belongs on the screen for `wanted`; returns a function that draws it. */
async function judge(wanted, moveFocus) {
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
  const keep = (typed) => history.replaceState(null, "", format(state = { ...state, plan: typed }));
  const plan = planSection(asked, about.reply.plan.questions, (wish) => ask(wish), wanted.plan, keep, { check: questions, href: (id) => format(at(wanted, id)) });
  return () => show(report.headline_text, [reportView(parts), plan, another(wanted)], moveFocus);
}

/** All answers on one page; each change is judged at once, and the address follows without drawing the page again. */
async function worksheet(wanted, { reply: { pack }, questions }, moveFocus) {
  // What is not shown here costs most of the time: the report works it out.
  const check = async (held) => (await ask({ ...request("check", held, questions, today()), working: false })).reply;
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
  return { others, ask: (chosen) => ask({ ...rest, ask: "compare", packs: [mine, ...chosen] }) };
}

/** What comes next in the short run. Going on asks what the last answer has asked already: that reply is kept. */
const supposing = (wanted, questions) => () => {
  const wish = { ...request("next", wanted, questions, today()), suppose: true };
  const text = JSON.stringify(wish);
  if (lastWish?.text !== text) lastWish = { text, reply: ask(wish) };
  return lastWish.reply;
};
let lastWish = null;
const described = new Map();
async function describe(pack) {
  if (!described.has(pack)) {
    const { reply } = await ask({ format: 1, ask: "describe", ...ruleSet(pack), as_of: today() });
    if (reply.error) return { reply };
    described.set(pack, { reply, screens: new Map(reply.screens.map(({ id, title }) => [id, title])), questions: new Map(reply.questions.map((question) => [question.id, question])), rules: new Map(reply.rules.map((rule) => [rule.id, rule])), names: namesOf(reply) });
  }
  learn(described.get(pack).reply.pictures);
  return described.get(pack);
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
  show(question.text, [settledNotice(reply.settled, held), form, questions && answersSoFar(held, questions)], moveFocus);
  const settled = reply.settled?.headline ?? null;
  if (settled !== lastSettled) say(settledText(settled));
  lastSettled = settled;
}

function showStart(moveFocus) {
  const radio = [...start.querySelectorAll("input")].find((input) => input.value === state.pack);
  if (radio) radio.checked = true;
  const note = el("p", { class: "sw-hint" }, t("page.another"));
  show(t("page.title"), [state.answers.size ? null : offer(), start, state.answers.size ? note : null, saved], moveFocus);
}

/** A run that was broken off can be gone on with, or forgotten. */
function offer() {
  const found = keptRun();
  if (!found) return null;
  const pack = [...start.querySelectorAll("input")].find((input) => input.value === found.pack)?.parentElement.querySelector(".sw-label").textContent ?? found.pack;
  const box = el(
    "aside", { class: "sw-notice sw-offer", "aria-label": t("run.go-on") },
    el("p", {}, tn("run.kept", { n: found.answers.size, pack })),
    el("p", { class: "sw-buttons" },
      el("a", { class: "md-button md-button--primary sw-small", href: format(found) }, t("run.go-on")),
      el("button", { type: "button", class: "md-button sw-small", on: { click: () => {
        keepRun(null);
        box.remove();
        document.getElementById("sw-title").focus();
      } } }, t("run.forget"))),
  );
  return box;
}

function begin(event) {
  event.preventDefault();
  const pack = start.querySelector("input:checked")?.value ?? "";
  const error = document.getElementById("sw-error");
  error.hidden = pack !== "";
  if (pack) {
    const place = event.submitter?.value === "worksheet" ? "worksheet" : null;
    const run = event.submitter?.value === "every" ? "every" : null;
    go(pack === state.pack ? { ...state, at: place, run } : { ...EMPTY, pack, at: place, run });
    return;
  }
  error.textContent = t("page.choose");
  start.querySelector("input").focus();
}

/** An address that is not ours is an anchor of the page, such as the skip link: it must not cost the answers. */
function follow() {
  const wanted = parse(location.hash);
  if (wanted) {
    // A step back leads to an earlier screen, not to earlier answers.
    const stepped = history.state?.ours && wanted.pack === state.pack;
    hold(stepped ? { ...wanted, answers: state.answers, confirmed: state.confirmed } : wanted);
    render(true);
    return;
  }
  document.getElementById("sw-title").focus();
  history.replaceState(null, "", format(state));
}

const everyButton = el("button", { type: "submit", value: "every", class: "md-button" }, t("run.every"));
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
start.addEventListener("change", (event) => tableOf(event.target.value, today())); // on its way before it is needed
start.querySelector(".sw-buttons").append(everyButton, worksheetButton);
checker.start();
render(false);
