// The words the page itself uses for what the core names by id. Everything about the trade comes from the rules.

import { knows, t, wordsOf } from "./say.mjs";

/** `{id: {word, shape}}`; the word is in the language of the page. */
function marks(group, shapes) {
  return Object.fromEntries(Object.entries(shapes).map(([id, shape]) => [id, { get word() { return t(`${group}.${id}`); }, shape }]));
}

export const HEADLINES = marks("headline", { stop: "stop", call: "call", change: "change", "find-out": "find-out", fits: "fits" });

export const WHO = marks("who", { stop: "stop", "licensed-only": "call", supervised: "find-out", permitted: "fits" });

export const OUTCOMES = marks("outcome", { failed: "stop", "cannot-tell": "find-out", passed: "fits", "not-applicable": "none" });

/** What a rule asks of its two sides. */
export const RELATIONS = wordsOf("relation", ["<", "<=", ">", ">=", "==", "!="]);

export const WEIGHTS = wordsOf("weight", ["law", "standard", "practice", "advice"]);

export function statusText(status) {
  return knows(`status.${status}`) ? t(`status.${status}`) : status;
}

const SIGNS = {
  A: "A", V: "V", W: "W", kW: "kW", kWh: "kWh", kA: "kA", mA: "mA", mm2: "mm²", mm: "mm", m: "m", ohm: "Ω", Mohm: "MΩ", Nm: "N·m", ms: "ms", s: "s", percent: "%", C: "°C", h: "h", uF: "µF", min: "min", deg: "°", m3: "m³", "m3/h": "m³/h", l: "l", modules: "modules", hp: "hp", "mV/A/m": "mV/A/m", ft: "ft", in3: "in³", 1: "", "": "",
};

export function unitSign(unit) {
  return SIGNS[unit ?? ""] ?? unit;
}

export function unitSpoken(unit) {
  const key = `unit.${unit}`;
  return knows(key) ? t(key) : unitSign(unit);
}

export function withUnit(value, unit) {
  const sign = unitSign(unit);
  return sign ? `${value}\u00a0${sign}` : String(value);
}

export const DONT_KNOW = "dont-know";
export const NOT_STATED = "not-stated";

/** An answer as a person reads it. `question` may be missing: then the bare value is shown. */
export function answerText(question, value) {
  if (value === DONT_KNOW) return t("answer.dont-know");
  if (value === NOT_STATED) return t("answer.not-stated");
  if (question?.kind === "number") return withUnit(value, question.unit);
  return choicesOf(question).find((choice) => choice.value === String(value))?.label ?? String(value);
}

/** The answers a question may have beside its own, as choices. */
export function otherAnswers(question) {
  return [[DONT_KNOW, question.dont_know], [NOT_STATED, question.not_stated]].filter(([, allowed]) => allowed)
    .map(([value]) => ({ value, label: answerText(question, value) }));
}

/** The answers to choose from; a yes-or-no question has two. */
export function choicesOf(question) {
  if (question?.kind !== "yes-no") return question?.choices ?? [];
  return [{ value: "true", label: t("answer.yes"), help: "" }, { value: "false", label: t("answer.no"), help: "" }];
}

/** What a question, a figure or a quantity is called. `names`: Map(id -> title), as `namesOf` gives it. */
export function nameText(name, names) {
  const known = (word) => names.get(word) ?? (knows(`quantity.${word}`) ? t(`quantity.${word}`) : word.replaceAll("_", " "));
  // A side of a comparison may be computed on the spot: then it is the names in it that have words.
  return name.replace(/\*/g, "\u00d7").replace(/[a-z][a-z0-9_]*/g, known);
}

/** The short names that a rule set (`describe` reply) gives to its questions and single figures. */
export function namesOf({ questions, parameters }) {
  return new Map([...questions.map(({ id, label }) => [id, label]), ...parameters.map(({ id, title }) => [id, title])]);
}
