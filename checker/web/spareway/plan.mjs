// The schedule: a form for when the load should run, and what the core says about it. Stands by itself; only show-verdict.mjs mounts it.

import { el, fold, folded, shape, textList } from "./dom.mjs";
import { SUN, clearErrors, clockField, field, labelled, lead, momentField, refuse, select } from "./planfields.mjs";
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
 * `typed`: what the address holds of a plan; `keep(typed)` puts it there; `check`: the questions of the check by id, and
 * `href(id)` the address of one, for what is missing there.
 */
export function planSection(request, questions, ask, typed, keep, { check, href }) {
  if (!held || typed.size) held = fromAddress(typed);
  const note = () => {
    keep(toAddress(held));
    sunPlace.hidden = !followsSun();
  };
  const result = el("div", { class: "sw-plan-result", tabindex: "-1" });
  const programmes = el("div", {});
  const ofThePlace = (question) => PLACE.includes(question.id);
  // Sunrise and sunset need the place: it is asked for where a time follows the sun, and nowhere else.
  const sunPlace = el("fieldset", { class: "sw-field sw-plan-programme", hidden: !followsSun() },
    el("legend", {}, t("plan.sun-place")), questions.filter(ofThePlace).map(questionField));
  const form = el(
    "form", { class: "sw-plan", novalidate: true, on: { submit, input: note, change: note } },
    zoneField(),
    programmes,
    el("p", { class: "sw-buttons" }, el("button", { type: "button", class: "md-button sw-small", on: { click: add } }, t("plan.add"))),
    sunPlace,
    fold(t("plan.tariff"), tariffFields()),
    fold(t("plan.place"), questions.filter((question) => !ofThePlace(question)).map(questionField)),
    el("p", { class: "sw-buttons" }, el("button", { type: "submit", class: "md-button md-button--primary" }, t("plan.work"))),
  );
  drawProgrammes();
  if (toAddress(held).size && !typed.size) keep(toAddress(held));
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
    clearErrors(form);
    const missing = gaps();
    if (missing.length) {
      result.replaceChildren();
      for (const [id, sentence] of missing.toReversed()) refuse(form, id, sentence);
      return;
    }
    const { format, pack, edition, as_of, answers, confirmed } = request;
    const asked = { format, ask: "plan", pack, edition, as_of, answers, confirmed, plan: planOf(questions) };
    const { reply, text } = await ask(asked);
    const { error } = reply;
    if (error && refuse(form, fieldOf(error.where), `${error.what[0].toUpperCase()}${error.what.slice(1)}. ${error.fix}`)) {
      result.replaceChildren();
      return;
    }
    result.replaceChildren(error ? complaint(error) : planReply(reply, text, asked, answerHere));
    result.focus({ preventScroll: true });
    result.scrollIntoView({ block: "start" });
  }

  /** The way to answer what the reply still needs: the field of this form, or the question of the check. Null for neither. */
  function answerHere(id) {
    const own = questions.find((question) => question.id === id);
    if (own) return el("button", { type: "button", class: "sw-link", on: { click: () => lead(form, `sw-plan-q-${id}`) } }, own.label);
    return check.has(id) ? el("a", { href: href(id) }, check.get(id).label) : null;
  }
}

const PLACE = ["latitude_deg", "longitude_deg"];
const followsSun = () => held.programmes.some(({ on, off }) => SUN.test(on) || SUN.test(off));

/** What is missing before it is worth asking the core: [id of the field, what to do]. */
function gaps() {
  const missing = [];
  held.programmes.forEach((programme, place) => {
    for (const part of ["on", "off"]) if (!programme[part]) missing.push([`sw-plan-${place}-${part}`, t("plan.needs-time")]);
    if (programme.on && programme.on === programme.off && programme.off !== "00:00") missing.push([`sw-plan-${place}-off`, t("plan.same-time")]);
  });
  if (followsSun()) for (const id of PLACE) if (!held.answers[id]) missing.push([`sw-plan-q-${id}`, t("plan.needs-place")]);
  const { price, currency, from, until, cheap } = held.tariff;
  if (cheap || from || until) {
    for (const [part, value] of Object.entries({ from, until })) if (!value) missing.push([`sw-plan-${part}`, t("plan.needs-time")]);
    if (!cheap) missing.push(["sw-plan-cheap", t("plan.needs-price")]);
  }
  if (currency && !price && !cheap) missing.push(["sw-plan-price", t("plan.needs-price")]);
  return missing;
}

/** The field that an error of the core is about, by its `where`; null where it is about none. */
function fieldOf(where) {
  const [, number, part] = /^plan\.programme (\d+)\.(\w+)$/.exec(where) ?? [];
  if (number) return `sw-plan-${number - 1}-${{ off_not_after: "latest" }[part] ?? part}`;
  const [, band, of] = /^plan\.tariff (\d+)\.(\w+)$/.exec(where) ?? [];
  const { from, until, cheap } = held.tariff;
  if (band) return `sw-plan-${of === "price" && band === "1" && (cheap || from || until) ? "cheap" : of}`;
  if (where === "plan.tariff") return "sw-plan-price";
  const place = where.replace(/^plan\./, "");
  return ["zone", "currency"].includes(place) ? `sw-plan-${place}` : `sw-plan-q-${place}`;
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
  // Midnight ends a day where something is switched off, and begins it where something is switched on.
  const programme = { days: DAYS.indexOf(days) < 3 ? days : [days], on, off: off === "00:00" ? "24:00" : off };
  if (latest && SUN.test(off)) programme.off_not_after = latest;
  return programme;
}

function programmeFields(programme, place, remove) {
  const id = (part) => `sw-plan-${place}-${part}`;
  const keep = (part) => (value) => { programme[part] = value; };
  const latest = clockField(t("plan.latest"), id("latest"), programme.latest, keep("latest"), t("plan.latest-help"));
  const showLatest = () => { latest.hidden = !SUN.test(programme.off); };
  showLatest();
  return el(
    "fieldset", { class: "sw-field sw-plan-programme", on: { input: showLatest, change: showLatest } },
    el("legend", {}, t("plan.programme", { n: place + 1 })),
    el("div", { class: "sw-plan-row" },
      el("div", {}, el("label", { for: id("days") }, t("plan.days")), select(id("days"), DAYS.map((day) => [day, t(`day.${day}`)]), programme.days, keep("days"))),
      momentField(t("plan.on"), id("on"), programme.on, keep("on")),
      momentField(t("plan.off"), id("off"), programme.off, keep("off")),
      latest),
    remove ? el("p", {}, el("button", { type: "button", class: "sw-link", on: { click: remove } }, t("plan.remove"))) : null,
  );
}

/** The time zone, offered by name; another one can be typed. */
function zoneField() {
  const input = el("input", {
    id: "sw-plan-zone", class: "sw-input", type: "text", list: "sw-plan-zones", value: held.zone, autocomplete: "off", spellcheck: "false",
    on: { input: () => { held.zone = input.value.trim(); } },
  });
  const zones = Intl.supportedValuesOf?.("timeZone") ?? [];
  return labelled(t("plan.zone"), "sw-plan-zone", input, t("plan.zone-help"), el("datalist", { id: "sw-plan-zones" }, zones.map((value) => el("option", { value }))));
}

function tariffFields() {
  const keep = (part) => (value) => { held.tariff[part] = value; };
  return el(
    "div", { class: "sw-plan-row" },
    field(t("plan.price"), "sw-plan-price", held.tariff.price, keep("price"), null, "decimal"),
    field(t("plan.currency"), "sw-plan-currency", held.tariff.currency, keep("currency")),
    clockField(t("plan.from"), "sw-plan-from", held.tariff.from, keep("from")),
    clockField(t("plan.until"), "sw-plan-until", held.tariff.until, keep("until")),
    field(t("plan.cheap"), "sw-plan-cheap", held.tariff.cheap, keep("cheap"), null, "decimal"),
  );
}

function questionField(question) {
  const id = `sw-plan-q-${question.id}`;
  const keep = (value) => { held.answers[question.id] = value; };
  const given = held.answers[question.id] ?? "";
  const sign = unitSign(question.unit);
  const asked = (words) => el("span", { lang: rulesLanguage() }, words);
  if (question.kind === "number") {
    return field(asked(sign ? `${question.text} (${sign})` : question.text), id, given, keep, question.help, Number(question.minimum) < 0 ? "text" : "decimal");
  }
  const choices = [["", t("plan.not-said")], ...choicesOf(question).map(({ value, label }) => [value, label]), ["dont-know", t("answer.dont-know")]];
  return labelled(asked(question.text), id, select(id, choices, given, keep), question.help);
}

function complaint({ where, what, why, fix }) {
  return el(
    "div", { class: "sw-notice", role: "alert" },
    el("p", {}, shape("change"), " ", el("strong", {}, t("plan.refused"))),
    textList([{ text: t("error.where", { where }) }, { text: t("plan.what", { what }) }, { text: why }, { text: fix }]),
  );
}
