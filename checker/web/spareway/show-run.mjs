// The short run, put up: its screens one after the other, what each answer changes on them, and the short verdict at the end.

import { go, hold, state } from "./address.mjs";
import { answersSoFar } from "./answers.mjs";
import { describe, isCoreReady, supposing } from "./asking.mjs";
import { first } from "./built.mjs";
import { el, untouched } from "./dom.mjs";
import { earlyStep, tableOf } from "./early-verdict.mjs";
import { saySettled, show } from "./frame.mjs";
import { SCREENS, nextScreen, onScreen, placeOf, progress, screenAt, screenBefore, step } from "./run.mjs";
import { rulesSpeak, t } from "./say.mjs";
import { screenView } from "./screen.mjs";
import { anotherCircuit, errorView, settledNotice, waitingView } from "./screens.mjs";
import { shortView } from "./short.mjs";
import { showEarly } from "./show-early.mjs";
import { judge } from "./show-verdict.mjs";
import { at, format, today, withAnswers, without } from "./state.mjs";

/** What is on the screen while the short run asks: `refresh()` draws it anew once the core can say more. */
let live = null;

/** Another screen takes the place of what the run has put up. */
export function leaveRun() {
  live = null;
}

/** Draws anew what was put up before the core was there. */
export function catchUp() {
  const now = live;
  if (!now?.early) return;
  now.early = false;
  now.refresh();
}

/**
 * The screen that comes next, or the one asked for; at the end the short verdict, or the report where nothing is left to look
 * at. `isWanted()` tells whether no other screen was asked for meanwhile; `render(moveFocus)` draws what the address asks for.
 */
export async function showRun(isWanted, render, moveFocus) {
  const held = state;
  const known = await stepOf(held);
  if (!isWanted()) return;
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
      await showEarly(isWanted, known.early, held, moveFocus);
      return;
    }
    show(t("page.loading"), [waitingView(state)], moveFocus);
    live = { early: true, refresh: () => render(moveFocus) };
  } else if (headline === null && (known.supposed.lines.length || known.supposed.waits_for.length)) {
    showShort(known, held, render, moveFocus);
  } else {
    const draw = await judge({ ...held, at: "report", run: "on" }, moveFocus);
    if (isWanted()) draw();
  }
}

/** The step of the short run: from the table while Python is not there, and the table knows; otherwise as the core says. */
async function stepOf(held) {
  const { about } = first[held.pack];
  if (!isCoreReady()) {
    const table = await tableOf(held.pack, today());
    const early = table && !isCoreReady() ? earlyStep(table, held.answers) : null;
    if (early) return step(early.waits, early.questions, held.answers, { early, settled: early.settled, about });
  }
  const described = await describe(held.pack);
  if (described.reply.error) return { failed: described.reply, questions: new Map() };
  const { questions } = described;
  rulesSpeak(described.reply.pack.language);
  const { reply } = await supposing(held, questions)();
  if (reply.error) return { failed: reply, questions };
  const { supposed, settled } = reply;
  return step(supposed.waits_for, questions, held.answers, { described, supposed, settled, about });
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
    page.update(parts(now), state.answers);
    saySettled(now.settled.headline);
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
  const page = screenView({
    screen, title, answers: state.answers, put, leave: () => go(at(state, null)), ...parts(known),
  });
  here.refresh = look;
  live = here;
  show(title, [page.element], moveFocus);
}

/** What is clear by now, beside the questions. */
function running({ headline, findings }) {
  const failed = findings.filter((finding) => finding.outcome === "failed").map((finding) => finding.title).join(". ");
  return el("p", { class: "sw-running" }, el("strong", {}, t("run.so-far"), ": "),
    headline ? [t(`headline.${headline}`), ". ", failed, failed ? "." : ""].join("") : t("run.nothing-against"));
}

function showShort({ supposed, described }, held, render, moveFocus) {
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
  show(t("short.title"), [page, anotherCircuit(held)], moveFocus);
}
