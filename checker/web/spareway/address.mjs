// What the person has told us by now, as this screen stands for it: the address is its only memory (see state.mjs).

import { keepRun } from "./kept-run.mjs";
import { EMPTY, format, parse } from "./state.mjs";

/** Set by `hold` and `note` alone; who imports it sees what holds now. */
export let state = parse(location.hash) ?? EMPTY;

/** A step forward: a new address, which is then followed. */
export function go(next) {
  location.hash = format(next);
}

/** Makes `next` what this screen stands for: no step back leads to what was there before it. */
export function hold(next) {
  state = next;
  history.replaceState({ ours: true }, "", format(state));
  if (state.answers.size) keepRun(format(state));
}

/** The address follows what is typed on a screen that stays as it is. */
export function note(next) {
  state = next;
  history.replaceState(null, "", format(state));
}
