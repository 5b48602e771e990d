// What the verdict would be if everything still open were as usual. It never stands in the place of the verdict.

import { el, fold, shape } from "./dom.mjs";
import { rulesLanguage, t, tn } from "./say.mjs";
import { at, format } from "./state.mjs";
import { HEADLINES, answerText, withUnit } from "./words.mjs";

/** How long to wait before asking, in milliseconds: who goes on at once must not wait for this. */
const PAUSE = 400;

/** The box below a question, where nothing is settled yet; null where there is nothing to suppose from. The rest: see shortPlace. */
export function shortBelow(reply, state, described, ask) {
  const open = described && state.answers.size && reply.settled && reply.settled.headline === null;
  return open ? shortPlace(ask, state, described) : null;
}

/**
 * The box, filled once its reply is there. `ask()` asks for `next` with `suppose`; it is asked only while the box is on
 * the screen. `described`: the rule set, as the `describe` reply and its questions and rules (Maps by id).
 */
export function shortPlace(ask, state, described) {
  const inside = el("div", { role: "status" }, el("p", { class: "sw-hint" }, t("short.working")));
  const box = el(
    "section", { class: "sw-short", "aria-labelledby": "sw-short" },
    el("h2", { id: "sw-short" }, t("short.title")),
    inside,
  );
  setTimeout(async () => {
    if (!box.isConnected) return;
    const { reply } = await ask();
    if (reply.error) box.remove();
    else inside.replaceChildren(...filled(reply.supposed, state, described));
  }, PAUSE);
  return box;
}

function filled(supposed, state, described) {
  const { questions } = described;
  const { word, shape: form } = HEADLINES["find-out"];
  const waits = supposed.waits_for;
  return [
    el("p", { class: "sw-short-said" }, shape(form), el("strong", {}, word), " ", said(supposed)),
    reasons(supposed, described),
    supposed.lines.length ? el("p", { class: "sw-hint sw-screen" }, t("short.tick")) : null,
    fold(t("short.lines", { n: supposed.lines.length }), supposed.lines.length ? list(supposed.lines.map((line) => lineView(line, supposed, state, questions))) : null),
    fold(t("short.waits", { n: waits.length }), waits.length ? list(waits.map((id) => el("li", {}, answerLink(state, id, questions.get(id)?.text ?? id)))) : null),
  ].filter(Boolean);
}

/** The supposed verdict in words. It is found out, not passed: the word before it says so. */
function said(supposed) {
  const { headline, waits_for: waits, lines } = supposed;
  if (waits.length) return tn("short.first", { n: waits.length });
  if (headline !== "fits") return el("span", { lang: rulesLanguage() }, judged(supposed).text);
  return lines.length ? tn("short.fits", { n: lines.length }) : t("short.fits-open");
}

/** The half of the supposed verdict that its headline comes from. */
function judged({ headline, who, sizing }) {
  return headline === "stop" || headline === "call" ? who : sizing;
}

/** What stands against it even if all else is as usual. */
function reasons(supposed, { rules, reply }) {
  if (supposed.waits_for.length || supposed.headline === "fits") return null;
  const title = (rule) => (rules.get(rule)?.title ?? rule).replace(/\{(\w+)\}/g, (hole, name) => reply.pack.words[name] ?? hole);
  return el("ul", { lang: rulesLanguage() }, judged(supposed).because.map((rule) => el("li", {}, title(rule))));
}

function list(entries) {
  return el("ul", { class: "sw-short-lines" }, entries);
}

function answerLink(state, id, words) {
  return el("a", { href: format(at(state, id)), class: "sw-short-answer", lang: rulesLanguage() }, words);
}

function lineView(line, supposed, state, questions) {
  const question = questions.get(line.question);
  const off = mayBeOff(line, question, supposed.headline === "fits");
  return el(
    "li", {},
    answerLink(state, line.question, `${question.label}: ${answerText(question, line.value)}`),
    el("span", { class: "sw-hint" }, el("span", { lang: rulesLanguage() }, line.seen), off ? ` ${off}` : null),
  );
}

const FITS = { up: "short.fits-up", down: "short.fits-down", only: "short.fits-only", others: "short.fits-with" };
const SAME = { up: "short.same-up", down: "short.same-down", only: "short.same-only", others: "short.same-with" };

/** How far a supposed answer may be off before the verdict is another; empty where no figure bounds it. */
function mayBeOff(line, question, fits) {
  const words = fits ? FITS : SAME;
  if (line.holds_to !== null) {
    const way = Number(line.changes_at) > Number(line.value) ? words.up : words.down;
    return t(way, { value: withUnit(line.holds_to, question.unit) });
  }
  if (!line.holds) return "";
  const others = line.holds.filter((value) => String(value) !== String(line.value)).map((value) => answerText(question, value));
  return others.length ? t(words.others, { others: others.join("; ") }) : t(words.only);
}
