// A run that was broken off: the browser keeps its address for whoever comes back later.

import { first } from "./built.mjs";
import { parse } from "./state.mjs";

const KEPT = "spareway-run";

/** Keeps `address`, or with null forgets the one kept. Where nothing can be kept, the address is still in the address bar. */
export function keepRun(address) {
  try {
    if (address) localStorage.setItem(KEPT, address);
    else localStorage.removeItem(KEPT);
  } catch {
    // A private window, or no room.
  }
}

/** The state of the run that is kept, or null. */
export function keptRun() {
  try {
    const found = parse(localStorage.getItem(KEPT) ?? "");
    return found && Object.hasOwn(first, found.pack ?? "") && found.answers.size ? found : null;
  } catch {
    return null;
  }
}
