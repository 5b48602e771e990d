// The page's own words. A rule set may be written in another language (see `rulesLanguage`).

import words from "./messages/en.mjs";

/** The message `key`, with `{name}` replaced by `values.name`. */
export function t(key, values = {}) {
  return words[key].replace(/\{(\w+)\}/g, (whole, name) => values[name] ?? whole);
}

/** `key.one` or `key.many`, by `values.n`. */
export function tn(key, values) {
  return t(`${key}.${values.n === 1 ? "one" : "many"}`, values);
}

/** A message with nodes in it: the parts of `key` in order, each `{name}` being `nodes.name`. */
export function tx(key, nodes) {
  return words[key].split(/\{(\w+)\}/).map((part, place) => (place % 2 ? nodes[part] : part));
}

/** Whether the message is there: ids of the core may be newer than the page. */
export function knows(key) {
  return Object.hasOwn(words, key);
}

/** `{id: word}` for ids named by the core. */
export function wordsOf(group, ids) {
  return Object.fromEntries(ids.map((id) => [id, t(`${group}.${id}`)]));
}

const LANGUAGE = "en";
let rules = LANGUAGE;

/** Tells which language the texts of the rule set are in. */
export function rulesSpeak(code) {
  rules = code ?? LANGUAGE;
}

/** The `lang` of an element that holds texts of the rules; null where the page speaks the same language. */
export function rulesLanguage() {
  return rules.split("-")[0] === LANGUAGE ? null : rules;
}
