// The page's own words, in the language chosen on the page. The rules keep their own language (see `rulesLanguage`).

import english from "./messages/en.mjs";

/** What can be chosen: code -> its name in itself. Each has a file in messages/. */
export const LANGUAGES = { en: "English", de: "Deutsch" };

let language = "en";
let words = english;

/** Makes `wanted` the page's language; anything unknown or not to be had leaves English. Returns the code in use. */
export async function speak(wanted) {
  const code = Object.hasOwn(LANGUAGES, wanted ?? "") ? wanted : "en";
  if (code === language) return language;
  try {
    words = code === "en" ? english : (await import(`./messages/${code}.mjs`)).default;
    language = code;
  } catch {
    words = english;
    language = "en";
  }
  return language;
}

export function spoken() {
  return language;
}

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

/** `{id: word}` for ids named by the core; read anew each time, as the language may change. */
export function wordsOf(group, ids) {
  return Object.defineProperties({}, Object.fromEntries(ids.map((id) => [id, { enumerable: true, get: () => t(`${group}.${id}`) }])));
}

let rules = "en";

/** Tells which language the texts of the rule set are in. */
export function rulesSpeak(code) {
  rules = code ?? "en";
}

/** The `lang` of an element that holds texts of the rules; null where the page speaks the same language. */
export function rulesLanguage() {
  return rules.split("-")[0] === language ? null : rules;
}
