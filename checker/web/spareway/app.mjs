// The check page: draws the screen that the address asks for.

import { hold, note, state } from "./address.mjs";
import { isCoreReady } from "./asking.mjs";
import { first } from "./built.mjs";
import { loadCore } from "./loading.mjs";
import { screenAt } from "./run.mjs";
import { showWithoutCore } from "./show-early.mjs";
import { catchUp, leaveRun, showRun } from "./show-run.mjs";
import { showStart } from "./show-start.mjs";
import { judge } from "./show-verdict.mjs";
import { parse } from "./state.mjs";

let turn = 0; // a screen that was asked for and then overtaken by another must not be drawn

async function render(moveFocus) {
  const mine = ++turn;
  const isWanted = () => mine === turn;
  leaveRun();
  if (!Object.hasOwn(first, state.pack) || state.at === "start") {
    showStart(moveFocus);
    return;
  }
  if (state.run !== "every" && (state.at === null || state.at === "short" || screenAt(state.at))) {
    await showRun(isWanted, render, moveFocus);
    return;
  }
  if (!isCoreReady() && (await showWithoutCore(isWanted, moveFocus))) return;
  const draw = await judge(state, moveFocus);
  if (isWanted()) draw();
}

/** An address that is not ours is an anchor of the page, such as the skip link: it must not cost the answers. */
function follow() {
  const wanted = parse(location.hash);
  if (wanted) {
    // A step back leads to an earlier screen, not to earlier answers.
    const stepped = history.state?.ours && wanted.pack === state.pack;
    const asked = [...state.answers.keys()].find((id) => !wanted.answers.has(id)); // what stood there to be answered
    hold(stepped ? { ...wanted, at: wanted.at ?? asked ?? null, answers: state.answers, confirmed: state.confirmed } : wanted);
    render(true);
    return;
  }
  document.getElementById("sw-title").focus();
  note(state);
}

window.addEventListener("hashchange", follow);
loadCore(catchUp);
render(false);
