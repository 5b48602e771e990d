// The short verdict: what the verdict would be if everything still open were as usual, and each of these things to look at.
// It never stands in the place of the verdict: its word is "find out", and it becomes firm only by answers.

import { answersSoFar } from "./answers.mjs";
import { el, shape } from "./dom.mjs";
import { fieldView } from "./field.mjs";
import { rulesLanguage, t, tn } from "./say.mjs";
import { SCREENS } from "./run.mjs";
import { at, format } from "./state.mjs";
import { HEADLINES, NOT_STATED, answerText, withUnit } from "./words.mjs";

/** On the report: what it would be, with the way to the list. `ask()` asks for `next` with `suppose`. */
export function shortPlace(ask, state, described) {
  const inside = el("p", { class: "sw-short-said", role: "status" }, t("short.working"));
  const box = el("section", { class: "sw-short", "aria-labelledby": "sw-short" }, el("h2", { id: "sw-short" }, t("short.title")), inside);
  ask().then(({ reply }) => {
    if (reply.error) {
      box.remove();
      return;
    }
    const { word, shape: form } = HEADLINES["find-out"];
    inside.replaceChildren(...[shape(form), el("strong", {}, word), " ", said(reply.supposed)]);
    const see = el("a", { href: format(at(state, "short")), class: "md-button sw-small" }, t("short.see"));
    inside.after(...[against(reply.supposed, described), el("p", { class: "sw-screen" }, see)].filter(Boolean));
  });
  return box;
}

/**
 * The page of the short verdict. `supposed`: as in the reply; `described`: the rule set, as its `describe` reply with
 * questions and rules (Maps by id); `tick(answers)` holds answers and takes away those that are null, without drawing the
 * page again; `otherwise(id, value)` holds another answer, which may change everything; `done()` is called when all is ticked.
 */
export function shortView({ supposed, state, described, back, tick, otherwise, done }) {
  const { questions } = described;
  const ticked = new Set();
  const count = el("p", { class: "sw-count", role: "status" });
  const bar = el("progress", { class: "sw-progress", max: supposed.lines.length || 1, "aria-hidden": "true" });
  const { word, shape: form } = HEADLINES["find-out"];
  const drawCount = () => {
    const { length: n } = supposed.lines;
    count.textContent = ticked.size === n ? t("short.all") : t("short.done", { done: ticked.size, n });
    bar.value = ticked.size;
  };
  const put = (lines, isSo) => {
    for (const line of lines) {
      if (isSo) ticked.add(line.question);
      else ticked.delete(line.question);
    }
    tick(Object.fromEntries(lines.map((line) => [line.question, isSo ? line.value : null])));
    drawCount();
    if (ticked.size === supposed.lines.length) done();
  };
  drawCount();
  const groups = grouped(supposed.lines, questions);
  const tools = { supposed, questions, put, otherwise };
  return el(
    "div", { class: "sw-run sw-short-page" },
    el(
      "div", { class: "sw-run-main" },
      el("div", { class: "sw-headline sw-head-find-out" }, shape(form),
        el("div", {}, el("p", { class: "sw-word" }, word), el("h1", { id: "sw-title", tabindex: "-1" }, said(supposed)))),
      el("p", { class: "sw-way" }, el("a", { href: back, class: "sw-back" }, t("page.back"))),
      el("p", {}, el("strong", {}, t("report.who"), ": "), el("span", { lang: rulesLanguage() }, supposed.who.text)),
      el("p", {}, el("strong", {}, t("report.sizing"), ": "), el("span", {}, sizes(supposed))),
      against(supposed, described),
      missing(supposed, questions, otherwise),
      supposed.lines.length ? el("p", {}, t("short.lead")) : null,
      groups.map(([screen, lines]) => el(
        "section", { class: "sw-short-group", "data-screen": screen },
        el("h2", { lang: rulesLanguage() }, described.screens.get(screen) ?? ""),
        el("ul", { class: "sw-short-lines" }, together(lines, questions).map((some) => lookView(some, tools))),
      )),
      answersSoFar(state, questions),
      el("p", { class: "sw-screen" }, el("a", { href: format(at(state, "report")) }, t("run.report"))),
    ),
    supposed.lines.length ? el("aside", { class: "sw-beside sw-short-count", "aria-label": t("short.count") }, bar, count) : null,
  );
}

/** The supposed verdict in words. It is found out, not passed: the word before it says so. */
function said(supposed) {
  const { headline, waits_for: waits, lines } = supposed;
  if (waits.length) return tn("short.first", { n: waits.length });
  if (headline !== "fits") return el("span", { lang: rulesLanguage() }, judged(supposed).text);
  return lines.length ? tn("short.fits", { n: lines.length }) : t("short.fits-open");
}

/** Sizing in words that promise nothing: what is supposed is not found out. */
function sizes({ waits_for: waits, sizing, lines }) {
  if (waits.length) return t("short.sizes-open");
  return sizing.outcome === "fits" ? tn("short.sizes-fit", { n: lines.length }) : el("span", { lang: rulesLanguage() }, sizing.text);
}

/** The half of the supposed verdict that its headline comes from. */
function judged({ headline, who, sizing }) {
  return headline === "stop" || headline === "call" ? who : sizing;
}

/** What stands against it even if all else is as usual. */
function against(supposed, { rules, reply }) {
  if (supposed.waits_for.length || supposed.headline === "fits") return null;
  const title = (rule) => (rules.get(rule)?.title ?? rule).replace(/\{(\w+)\}/g, (hole, name) => reply.pack.words[name] ?? hole);
  return el("div", {}, el("p", {}, t("short.against")), el("ul", { lang: rulesLanguage() }, judged(supposed).because.map((rule) => el("li", {}, title(rule)))));
}

/** What nobody may suppose, and was answered with "I don't know": each can be answered on the spot. */
function missing({ waits_for: waits }, questions, otherwise) {
  const open = waits.map((id) => questions.get(id)).filter(Boolean);
  if (!open.length) return null;
  return el("section", { class: "sw-short-group" }, el("h2", {}, t("short.missing")), open.map((question) => onTheSpot(question, otherwise)));
}

/** The field of one question with a button of its own for a number, which nothing else on the page would send. */
function onTheSpot(question, otherwise) {
  const field = fieldView(question, undefined, (value, error) => {
    field.complain(error ?? null);
    if (!error) otherwise(question.id, value);
  }, { level: 3, name: `spot-${question.id}` });
  return field.element;
}

/** The lines by what one holds in the hand, so that one walks once; the group with the tightest line first. */
function grouped(lines, questions) {
  return [...groupBy(lines, (line) => questions.get(line.question)?.screen ?? SCREENS.at(-1))];
}

/** As `Map.groupBy`, which not every telephone has. */
function groupBy(items, keyOf) {
  const groups = new Map();
  for (const item of items) groups.set(keyOf(item), [...(groups.get(keyOf(item)) ?? []), item]);
  return groups;
}

/** The lines by looks: what one sees at once, as the rule set says, and what one label leaves out; all else alone. */
function together(lines, questions) {
  const lookOf = (line) => {
    const { screen, look } = questions.get(line.question);
    if (line.value !== NOT_STATED || !["label", "load"].includes(screen)) return look ?? line.question;
    return `${screen} ${line.question.startsWith("contactor_")}`; // a contactor has a label of its own
  };
  return [...groupBy(lines, lookOf).values()];
}

/** Two buttons: it is so, or another answer on the spot. `lines`: those that the first button ticks. */
function lineButtons(lines, { questions, put, otherwise }, item, about) {
  const [so, other] = lines.length > 1 ? ["short.all-so", "short.one-differs"] : ["short.is-so", "short.otherwise"];
  const spot = el("div", { class: "sw-spot", hidden: true });
  const yes = el("button", { type: "button", class: "sw-pick", "aria-pressed": "false" }, t(so), el("span", { class: "sw-hidden" }, `: ${about}`));
  const no = el("button", { type: "button", class: "sw-pick sw-pick-other", "aria-expanded": "false" }, t(other), el("span", { class: "sw-hidden" }, `: ${about}`));
  yes.addEventListener("click", () => {
    const isSo = yes.getAttribute("aria-pressed") !== "true";
    yes.setAttribute("aria-pressed", String(isSo));
    item.classList.toggle("sw-is-so", isSo);
    put(lines, isSo);
  });
  no.addEventListener("click", () => {
    spot.hidden = !spot.hidden;
    no.setAttribute("aria-expanded", String(!spot.hidden));
    if (!spot.hidden && !spot.children.length) spot.append(...lines.map((line) => onTheSpot(questions.get(line.question), otherwise)));
    if (!spot.hidden) spot.querySelector(".sw-ask-text").focus();
  });
  return [el("div", { class: "sw-picks" }, yes, no), spot];
}

/** What one sees in one look, each thing with how to see it and how far it may be off, over one pair of buttons. */
function lookView(lines, tools) {
  const item = el("li", { "data-question": lines.map((line) => line.question).join(" ") });
  const silent = lines.length > 1 && lines.every((line) => line.value === NOT_STATED);
  const said = silent ? silentText(lines, tools) : lines.flatMap((line) => lineText(line, tools));
  const about = lines.map((line) => headOf(line, tools)).join("; ");
  item.append(...said, ...lineButtons(lines, tools, item, about));
  return item;
}

const headOf = (line, { questions }) => `${questions.get(line.question).label}: ${answerText(questions.get(line.question), line.value)}`;

function lineText(line, tools) {
  const off = mayBeOff(line, tools.questions.get(line.question), tools.supposed.headline === "fits");
  return [
    el("p", { class: "sw-line", lang: rulesLanguage() }, el("strong", {}, headOf(line, tools))),
    el("p", { class: "sw-hint" }, el("span", { lang: rulesLanguage() }, line.seen), off ? ` ${off}` : ""),
  ];
}

/** Things that one label leaves out, each by its name. */
function silentText(lines, { questions }) {
  return [
    el("p", { class: "sw-line" }, el("strong", {}, t("short.silent"))),
    el("ul", { lang: rulesLanguage() }, lines.map((line) => el("li", {}, questions.get(line.question).label))),
  ];
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
