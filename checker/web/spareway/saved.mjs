// Saved answers, opened again: a file of this page or of the command line, the same pasted, or a link to a check.

import { el } from "./dom.mjs";
import { t, tx } from "./say.mjs";
import { EMPTY, format, parse } from "./state.mjs";

/**
 * The part of the first screen that opens saved answers. `ruleSets`: names that can be chosen, such as "gb" or "gb@2018".
 * `go(state)` is called with the answers.
 */
export function openSaved(ruleSets, go) {
  const error = el("p", { class: "sw-error", id: "sw-saved-error", role: "alert", hidden: true });
  const area = el("textarea", { class: "sw-input", id: "sw-saved-text", rows: "4", spellcheck: "false", autocomplete: "off", "aria-describedby": "sw-saved-error" });
  const file = el("input", { class: "sw-input", id: "sw-saved-file", type: "file", accept: ".json,.toml,.txt", "aria-describedby": "sw-saved-error", on: { change: async () => {
    if (file.files.length) open(await file.files[0].text(), file);
  } } });
  function open(text, field) {
    try {
      go(stateOf(text, ruleSets));
      error.hidden = true;
    } catch (fault) {
      if (!(fault instanceof Unreadable)) throw fault;
      error.textContent = fault.message;
      error.hidden = false;
      field.setAttribute("aria-invalid", "true");
      field.focus();
    }
  }
  return el("details", { class: "sw-fold", id: "sw-saved" }, el("summary", {}, t("saved.title")),
    el("form", { class: "sw-step", method: "dialog", novalidate: true, on: { submit: (event) => { event.preventDefault(); open(area.value, area); } } },
      el("p", {}, el("label", { for: "sw-saved-file" }, t("saved.file")), file),
      el("p", {}, el("label", { for: "sw-saved-text" }, t("saved.paste")), area),
      error,
      el("p", { class: "sw-buttons" }, el("button", { type: "submit", class: "md-button" }, t("saved.open")))));
}

/** A button that copies the address of this page, answers and all; where that is not allowed it shows it to copy by hand. */
export function linkButton() {
  const said = el("span", { class: "sw-hint", role: "status" });
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(location.href);
      said.textContent = t("saved.copied");
    } catch {
      said.replaceChildren(...tx("saved.by-hand", { link: el("a", { href: location.href }, t("saved.this-link")) }));
    }
  };
  return el("span", { class: "sw-link-copy" }, el("button", { type: "button", class: "md-button sw-small", on: { click: copy } }, t("saved.copy-link")), said);
}

class Unreadable extends Error {}

/** The state in a saved text. Throws `Unreadable` with what is wrong and what to do. */
export function stateOf(text, ruleSets) {
  const link = /#pack=\S+/.exec(text.trim());
  const state = link ? parse(link[0]) : fromFile(text.trim());
  if (!ruleSets.includes(state.pack)) throw new Unreadable(t("saved.no-rules", { pack: String(state.pack ?? "") || "?", known: ruleSets.filter((name) => !name.includes("@")).join(", ") }));
  // What an address can hold is what the page can hold: no answer is taken on that a reload would lose.
  return parse(format(state));

  function fromFile(content) {
    if (!content) throw new Unreadable(t("saved.empty"));
    const held = content.startsWith("{") ? json(content) : toml(content);
    // A report names its rule set in full, an answers file by its id.
    const { pack, edition } = typeof held.pack === "object" && held.pack ? { pack: held.pack.id, edition: held.pack.edition } : held;
    if (typeof held.answers !== "object" || held.answers === null || Array.isArray(held.answers)) throw new Unreadable(t("saved.no-answers"));
    for (const [name, value] of Object.entries(held.answers)) {
      if (!["string", "number", "boolean"].includes(typeof value)) throw new Unreadable(t("saved.bad-answer", { name }));
    }
    const whole = `${pack}@${edition}`;
    return {
      ...EMPTY,
      pack: ruleSets.includes(whole) ? whole : pack,
      answers: new Map(Object.entries(held.answers).map(([name, value]) => [name, String(value)])),
      confirmed: Array.isArray(held.confirmed) ? held.confirmed.map(String) : [],
    };
  }
}

function json(text) {
  try {
    return JSON.parse(text);
  } catch (fault) {
    throw new Unreadable(t("saved.bad-json", { fault: fault.message }));
  }
}

/** The TOML that the command line saves: names with one value a line, and the table of the answers. */
function toml(text) {
  const held = {};
  let table = held;
  for (const [at, line] of text.split(/\r?\n/).entries()) {
    const bare = line.trim();
    if (bare === "" || bare.startsWith("#")) continue;
    const head = /^\[(\w+)\]$/.exec(bare);
    const pair = /^(\w+)\s*=\s*("(?:[^"\\]|\\.)*"|\[[^[\]]*\]|[^\s#"[]+)\s*(?:#.*)?$/.exec(bare);
    if (head) table = held[head[1]] = {};
    else if (pair) table[pair[1]] = valueOf(pair[2], at + 1);
    else throw new Unreadable(t("saved.bad-line", { line: at + 1, text: bare.slice(0, 40) }));
  }
  return held;
}

function valueOf(text, line) {
  if (/^\d{4}-\d\d-\d\d$/.test(text)) return text;
  try {
    return JSON.parse(text.replace(/,\s*\]$/, "]"));
  } catch {
    throw new Unreadable(t("saved.bad-line", { line, text: text.slice(0, 40) }));
  }
}
