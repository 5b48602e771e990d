// The service worker's side of the page: keeping a release for use without a network, and word of a newer one.

import { el } from "./dom.mjs";
import { t } from "./say.mjs";
import { script } from "./trusted.mjs";

/**
 * Registers `sw.js`. `speak(state)` hears "kept" once everything is there for use without a network; `offer(node)` gets a
 * notice to show when another release is there and waiting, and null when there is none.
 */
export async function keepForLater(home, { speak, offer }) {
  const container = navigator.serviceWorker;
  if (!container) return;
  const had = container.controller !== null;
  container.addEventListener("controllerchange", () => {
    // Another release has taken over: nothing of the old one may stay. Answers are in the address, and stay.
    if (had || replacing) location.reload();
  });
  try {
    const registration = await container.register(script(new URL("sw.js", home)), { scope: home.href });
    const tellNow = () => tell(registration, { speak, offer });
    registration.addEventListener("updatefound", () => registration.installing?.addEventListener("statechange", tellNow));
    registration.installing?.addEventListener("statechange", tellNow);
    await tellNow();
    // The browser looks for itself when a page is opened, but not while one stays open.
    setInterval(() => registration.update().catch(() => {}), 3_600_000);
  } catch {
    // Private windows and old browsers: the page works, but only with a network.
  }
}

let replacing = false;

async function tell(registration, { speak, offer }) {
  const { active, waiting } = registration;
  if (active?.state === "activated") speak("kept");
  if (!active || !waiting) {
    offer(null);
    return;
  }
  const [held, next] = await Promise.all([release(active), release(waiting)]);
  if (!held || !next || held.name === next.name) return;
  const take = () => {
    replacing = true;
    waiting.postMessage("take over");
  };
  offer(el("div", { class: "sw-notice" },
    el("p", {}, el("strong", {}, heading(held, next))),
    changed(held, next),
    el("p", {}, t("offline.stay")),
    el("p", { class: "sw-buttons" }, el("button", { type: "button", class: "md-button", on: { click: take } }, t("offline.use"))),
  ));
}

const key = (pack) => `${pack.id} ${pack.edition}`;

function differing(held, next) {
  const before = new Map(held.packs.map((pack) => [key(pack), pack]));
  return next.packs.filter((pack) => before.get(key(pack))?.version !== pack.version).map((pack) => [pack, before.get(key(pack))]);
}

function heading(held, next) {
  return differing(held, next).length ? t("offline.rules") : t("offline.release");
}

function changed(held, next) {
  const rows = differing(held, next);
  return rows.length ? el("ul", {}, rows.map(([pack, old]) => el("li", {},
    t("offline.pack", { ...pack, before: old ? t("offline.have", old) : t("offline.new") })))) : null;
}

/** What a service worker says it holds; null when it says nothing. */
function release(worker) {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => resolve(data);
    setTimeout(() => resolve(null), 3000);
    worker.postMessage("release", [port2]);
  });
}
