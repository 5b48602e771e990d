// What is put up while Python is not there yet: the first question, one of danger and law, stop or call, or a word to wait.

import { go, state } from "./address.mjs";
import { describe, isCoreReady } from "./asking.mjs";
import { first } from "./built.mjs";
import { tableOf, walk } from "./early-verdict.mjs";
import { show } from "./frame.mjs";
import { t } from "./say.mjs";
import { earlyView, laterLinks, waitingView } from "./screens.mjs";
import { showQuestion } from "./show-question.mjs";
import { judge } from "./show-verdict.mjs";
import { today } from "./state.mjs";

/**
 * Puts up what can be said to one question a page without Python; promises whether that was all there is to do. `isWanted()`
 * tells whether no other screen was asked for meanwhile.
 */
export async function showWithoutCore(isWanted, moveFocus) {
  const { question } = first[state.pack];
  if (state.at === question.id || (state.at === null && state.answers.size === 0)) {
    // It can be answered now, and is not drawn again under the hands of somebody who is answering.
    showQuestion(first[state.pack], question, null, moveFocus);
    return true;
  }
  const wanted = state;
  const table = await tableOf(wanted.pack, today());
  if (!isWanted()) return true;
  const early = table && !isCoreReady() ? walk(table, wanted.answers) : null;
  const again = table?.questions.find((one) => one.id === wanted.at);
  if (!isCoreReady() && again) {
    showQuestion({}, again, null, moveFocus);
    return true;
  }
  if (early?.question && wanted.at === null) {
    showQuestion({}, early.question, null, moveFocus);
    return true;
  }
  if (early?.headline) {
    await showEarly(isWanted, early, wanted, moveFocus);
    return true;
  }
  if (!isCoreReady()) show(t("page.loading"), [waitingView(state)], moveFocus);
  return false;
}

/** Stop or call, which is read while Python loads, and stays until the person goes on. */
export async function showEarly(isWanted, early, wanted, moveFocus) {
  show(t(`headline.${early.headline}`), [earlyView(early, wanted)], moveFocus);
  const further = wanted.run === "every" ? await judge(wanted, true) : () => go({ ...wanted, at: null, run: "on" });
  await describe(wanted.pack);
  if (isWanted()) document.getElementById("sw-later").replaceChildren(...laterLinks(wanted, further));
}
