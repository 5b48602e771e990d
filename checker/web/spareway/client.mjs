// The page's side of the worker: questions and replies, and a watchdog for when they do not come.

import { t } from "./say.mjs";
import { script } from "./trusted.mjs";

/** How long to wait in silence, in milliseconds. Python is about 6 MB: a slow line needs its time, and a word meanwhile. */
const LIMITS = { boot: 25_000, answer: 10_000 };

/**
 * `speak(status)` is called with `{kind, detail}`; kinds: "loading" (detail: step; or
   * share: how much of Python has come, from 0 to 1), "ready", "slow" (still loading, longer
 * than expected), "failed" (did not start; detail: what it said), "silent" (started, but does not answer).
 */
export class Checker {
  #waiting = new Map();
  #number = 0;
  #worker = null;
  #timer = null;

  constructor(workerUrl, speak, limits = LIMITS) {
    this.workerUrl = workerUrl;
    this.speak = speak;
    this.limits = limits;
    this.ready = false;
  }

  /** Starts the worker, or throws the old one away and starts afresh; what was asked and not answered is asked again. */
  start() {
    this.#worker?.terminate();
    this.ready = false;
    if (typeof WebAssembly === "undefined" || typeof Worker === "undefined") {
      this.#fail(t("watch.no-wasm"));
      return;
    }
    this.speak({ kind: "loading", detail: "start" });
    this.#watch(this.limits.boot, "slow");
    const worker = new Worker(script(this.workerUrl), { type: "module" });
    // A worker thrown away may still have messages under way.
    const mine = (listener) => (event) => worker === this.#worker && listener(event);
    worker.addEventListener("message", mine((event) => this.#hear(event.data)));
    worker.addEventListener("error", mine((event) => this.#fail(event.message || t("watch.no-worker"))));
    worker.addEventListener("messageerror", mine(() => this.#fail(t("watch.no-message"))));
    this.#worker = worker;
  }

  /** The reply to a request, as `{text, reply}`: the bytes as the core gave them, and what they say. */
  ask(request) {
    return new Promise((resolve) => {
      const id = ++this.#number;
      const text = JSON.stringify(request);
      this.#waiting.set(id, { text, resolve });
      if (this.ready) this.#send(id, text);
    });
  }

  #send(id, text) {
    this.#worker.postMessage({ id, request: text });
    this.#watch(this.limits.answer, "silent");
  }

  #hear(message) {
    if (message.step) {
      this.speak({ kind: "loading", detail: message.step });
    } else if (message.loaded) {
      this.speak({ kind: "loading", share: message.loaded });
    } else if (message.failed) {
      this.#fail(message.failed);
    } else if (message.ready) {
      this.ready = true;
      clearTimeout(this.#timer);
      this.speak({ kind: "ready" });
      for (const [id, { text }] of this.#waiting) this.#send(id, text);
    } else if (this.#waiting.has(message.id)) {
      const { resolve } = this.#waiting.get(message.id);
      this.#waiting.delete(message.id);
      clearTimeout(this.#timer);
      this.speak({ kind: "ready" });
      if (this.#waiting.size) this.#watch(this.limits.answer, "silent");
      resolve({ text: message.reply, reply: JSON.parse(message.reply) });
    }
  }

  #fail(detail) {
    clearTimeout(this.#timer);
    this.ready = false;
    this.#worker?.terminate();
    this.#worker = null;
    this.speak({ kind: "failed", detail });
  }

  #watch(milliseconds, kind) {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.speak({ kind }), milliseconds);
  }
}
