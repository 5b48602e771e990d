// Python on its way: how far it has come, what to do when it does not come, and keeping everything for later.

import { isCoreReady, restartCore, startCore } from "./asking.mjs";
import { el } from "./dom.mjs";
import { say, statusLine } from "./frame.mjs";
import { keepForLater } from "./offline.mjs";
import { t } from "./say.mjs";
import { watchdog } from "./screens.mjs";

const alertBox = document.getElementById("sw-alert");
const updateBox = document.getElementById("sw-update");
const help = statusLine.querySelector("a").href; // read before anything is said: the line then holds no link
const bar = el("progress", { class: "sw-progress", max: "1", "aria-label": t("run.loading") });

/** Starts the core and tells how it comes along. `whenReady()` is called each time the core is there or has replied. */
export function loadCore(whenReady) {
  startCore((status) => {
    if (status.share !== undefined) {
      bar.value = status.share;
      if (!bar.isConnected) statusLine.before(bar);
      return;
    }
    if (status.kind === "ready" || status.kind === "failed") bar.remove();
    const { line, alert } = watchdog(status, restartCore, help);
    say(kept && status.kind === "ready" ? t("page.kept") : line);
    if (status.kind === "ready") {
      keepOnce();
      whenReady();
    }
    alertBox.replaceChildren(...(alert ? [alert] : []));
  });
}

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
      if (isCoreReady()) say(t("page.kept"));
    },
  });
}
