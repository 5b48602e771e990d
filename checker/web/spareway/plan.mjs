// The schedule: a form for when the load should run, and what the core says about it. Stands by itself; only app.mjs mounts it.

import { el, fold, folded, shape, textList } from "./dom.mjs";
import { planReply } from "./planreply.mjs";
import { rulesLanguage, t } from "./say.mjs";
import { choicesOf, unitSign } from "./words.mjs";

const DAYS = ["every-day", "weekdays", "weekend", "mon", "tue", "wed", "thu", "fri", "sat", "sun"];

const NO_PROGRAMME = { days: "every-day", on: "", off: "", latest: "" };
const NO_TARIFF = { price: "", currency: "", from: "", until: "", cheap: "" };
const MOST_PROGRAMMES = 99; // in an address; the core says how many a plan may have

// What was typed. It goes into the address like the answers; here it outlives a look at another screen.
let held = null;

/** What an address holds of a plan: `zone`, `<number>.<part of a programme>`, `t.<part of the tariff>`, `q.<question>`. */
function fromAddress(typed) {
  const plan = { zone: typed.get("zone") ?? Intl.DateTimeFormat().resolvedOptions().timeZone ?? "", programmes: [], tariff: { ...NO_TARIFF }, answers: {} };
  for (const [place, value] of typed) {
    const [holder, part] = place.split(".");
    const number = /^[1-9]\d?$/.test(holder) ? Number(holder) : 0;
    if (holder === "t" && Object.hasOwn(NO_TARIFF, part)) plan.tariff[part] = value;
    else if (holder === "q" && part) plan.answers[part] = value;
    else if (number && number <= MOST_PROGRAMMES && Object.hasOwn(NO_PROGRAMME, part)) {
      while (plan.programmes.length < number) plan.programmes.push({ ...NO_PROGRAMME });
      plan.programmes[number - 1][part] = value;
    }
  }
  if (!plan.programmes.length) plan.programmes.push({ ...NO_PROGRAMME });
  return plan;
}

/** The same the other way; empty as long as nothing was typed. */
function toAddress({ zone, programmes, tariff, answers }) {
  const typed = new Map();
  programmes.forEach((programme, place) => {
    for (const [part, value] of Object.entries(programme)) if (value !== NO_PROGRAMME[part]) typed.set(`${place + 1}.${part}`, value);
  });
  for (const [part, value] of Object.entries(tariff)) if (value) typed.set(`t.${part}`, value);
  for (const [question, value] of Object.entries(answers)) if (value) typed.set(`q.${question}`, value);
  if (typed.size) typed.set("zone", zone);
  return typed;
}

/**
 * The section under a report. `request`: the check that was asked; `questions`: those of the plan; `ask(request)`: the core;
 * `typed`: what the address holds of a plan; `keep(typed)` puts it there.
 */
export function planSection(request, questions, ask, typed, keep) {
  if (!held || typed.size) held = fromAddress(typed);
  const note = () => keep(toAddress(held));
  if (toAddress(held).size && !typed.size) note();
  const result = el("div", { class: "sw-plan-result", tabindex: "-1" });
  const programmes = el("div", {});
  const form = el(
    "form", { class: "sw-plan", novalidate: true, on: { submit, input: note, change: note } },
    field(t("plan.zone"), "sw-plan-zone", held.zone, (value) => { held.zone = value; }, t("plan.zone-help")),
    programmes,
    el("p", { class: "sw-buttons" }, el("button", { type: "button", class: "md-button sw-small", on: { click: add } }, t("plan.add"))),
    fold(t("plan.tariff"), tariffFields()),
    fold(t("plan.place"), questions.map(questionField)),
    el("p", { class: "sw-buttons" }, el("button", { type: "submit", class: "md-button md-button--primary" }, t("plan.work"))),
  );
  drawProgrammes();
  const made = folded(
    t("plan.title"), null,
    el("p", {}, t("plan.lead")),
    form, result,
  );
  made.querySelector("details").open = typed.size > 0; // what was typed is not hidden again
  return made;

  function add() {
    held.programmes.push({ ...NO_PROGRAMME });
    drawProgrammes();
    programmes.lastElementChild.querySelector("select").focus();
  }

  function drawProgrammes() {
    programmes.replaceChildren(...held.programmes.map((programme, place) => programmeFields(programme, place, held.programmes.length > 1 && (() => {
      held.programmes.splice(place, 1);
      note();
      drawProgrammes();
      programmes.querySelector("select").focus();
    }))));
  }

  async function submit(event) {
    event.preventDefault();
    const { format, pack, edition, as_of, answers, confirmed } = request;
    const asked = { format, ask: "plan", pack, edition, as_of, answers, confirmed, plan: planOf(questions) };
    const { reply, text } = await ask(asked);
    result.replaceChildren(reply.error ? complaint(reply.error) : planReply(reply, text, asked));
    result.focus({ preventScroll: true });
    result.scrollIntoView({ block: "start" });
  }
}

/** The plan as the core takes it: what is left empty is left out. */
function planOf(questions) {
  const plan = { zone: held.zone, programme: held.programmes.map(programmeOf) };
  for (const { id, kind } of questions) {
    const value = held.answers[id];
    if (value) plan[id] = kind === "yes-no" && value !== "dont-know" ? value === "true" : value;
  }
  const { price, currency, from, until, cheap } = held.tariff;
  if (price) plan.tariff = [{ name: "other hours", price }];
  if (cheap || from || until) plan.tariff = [{ name: "cheap hours", price: cheap, from, until }, ...(plan.tariff ?? [])];
  if (currency) plan.currency = currency;
  return plan;
}

function programmeOf({ days, on, off, latest }) {
  const programme = { days: DAYS.indexOf(days) < 3 ? days : [days], on, off };
  if (latest) programme.off_not_after = latest;
  return programme;
}

function programmeFields(programme, place, remove) {
  const id = (part) => `sw-plan-${place}-${part}`;
  const keep = (part) => (value) => { programme[part] = value; };
  return el(
    "fieldset", { class: "sw-field sw-plan-programme" },
    el("legend", {}, t("plan.programme", { n: place + 1 })),
    el("div", { class: "sw-plan-row" },
      el("div", {}, el("label", { for: id("days") }, t("plan.days")), select(id("days"), DAYS.map((day) => [day, t(`day.${day}`)]), programme.days, keep("days"))),
      field(t("plan.on"), id("on"), programme.on, keep("on")),
      field(t("plan.off"), id("off"), programme.off, keep("off")),
      field(t("plan.latest"), id("latest"), programme.latest, keep("latest"))),
    el("p", { class: "sw-hint" }, `${t("plan.times")} ${t("plan.latest-help")}`),
    remove ? el("p", {}, el("button", { type: "button", class: "sw-link", on: { click: remove } }, t("plan.remove"))) : null,
  );
}

function tariffFields() {
  const keep = (part) => (value) => { held.tariff[part] = value; };
  return el(
    "div", { class: "sw-plan-row" },
    field(t("plan.price"), "sw-plan-price", held.tariff.price, keep("price")),
    field(t("plan.currency"), "sw-plan-currency", held.tariff.currency, keep("currency")),
    field(t("plan.from"), "sw-plan-from", held.tariff.from, keep("from")),
    field(t("plan.until"), "sw-plan-until", held.tariff.until, keep("until")),
    field(t("plan.cheap"), "sw-plan-cheap", held.tariff.cheap, keep("cheap")),
  );
}

function questionField(question) {
  const id = `sw-plan-q-${question.id}`;
  const keep = (value) => { held.answers[question.id] = value; };
  const given = held.answers[question.id] ?? "";
  const sign = unitSign(question.unit);
  if (question.kind === "number") {
    return field(sign ? `${question.text} (${sign})` : question.text, id, given, keep, question.help);
  }
  const choices = [["", t("plan.not-said")], ...choicesOf(question).map(({ value, label }) => [value, label]), ["dont-know", t("answer.dont-know")]];
  return el("div", { class: "sw-plan-question" }, el("label", { for: id, lang: rulesLanguage() }, question.text), select(id, choices, given, keep), hint(id, question.help));
}

function field(label, id, value, keep, help) {
  const input = el("input", {
    id, class: "sw-input", type: "text", value, autocomplete: "off", spellcheck: "false", "aria-describedby": help ? `${id}-hint` : null,
    on: { input: () => keep(input.value.trim()) },
  });
  return el("div", { class: "sw-plan-question" }, el("label", { for: id }, label), input, help ? hint(id, help) : null);
}

function hint(id, text) {
  return el("span", { class: "sw-hint", id: `${id}-hint` }, text);
}

function select(id, choices, chosen, keep) {
  const box = el("select", { id, class: "sw-input", on: { change: () => keep(box.value) } }, choices.map(([value, label]) => el(
    "option", { value, selected: value === chosen }, label)));
  return box;
}

function complaint({ where, what, why, fix }) {
  return el(
    "div", { class: "sw-notice", role: "alert" },
    el("p", {}, shape("change"), " ", el("strong", {}, t("plan.refused"))),
    textList([{ text: t("error.where", { where }) }, { text: t("plan.what", { what }) }, { text: why }, { text: fix }]),
  );
}
