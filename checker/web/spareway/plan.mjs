// The schedule: a form for when the load shall run, and what the core says to it. Stands by itself; only app.mjs mounts it.

import { el, fold, section, shape, textList } from "./dom.mjs";
import { planReply } from "./planreply.mjs";
import { choicesOf, unitSign } from "./words.mjs";

const DAYS = [
  ["every-day", "Every day"], ["weekdays", "Monday to Friday"], ["weekend", "Saturday and Sunday"], ["mon", "Monday"], ["tue", "Tuesday"],
  ["wed", "Wednesday"], ["thu", "Thursday"], ["fri", "Friday"], ["sat", "Saturday"], ["sun", "Sunday"],
];
const TIMES = "A time such as 06:30, or sunset, sunset-00:20, sunrise+01:00, dusk, dawn.";

// What was typed, for as long as the page is open: it is not part of the answers and not in the address.
const held = {
  zone: Intl.DateTimeFormat().resolvedOptions().timeZone ?? "",
  programmes: [{ days: "every-day", on: "", off: "", latest: "" }],
  tariff: { price: "", currency: "", from: "", until: "", cheap: "" },
  answers: {},
};

/** The section under a report. `request`: the check that was asked; `questions`: those of the plan; `ask(request)`: the core. */
export function planSection(request, questions, ask) {
  const result = el("div", { class: "sw-plan-result", tabindex: "-1" });
  const programmes = el("div", {});
  const form = el(
    "form", { class: "sw-plan", novalidate: true, on: { submit } },
    field("Time zone", "sw-plan-zone", held.zone, (value) => { held.zone = value; }, "As Area/Place, such as Africa/Johannesburg, or UTC+02:00."),
    programmes,
    el("p", { class: "sw-buttons" }, el("button", { type: "button", class: "md-button sw-small", on: { click: add } }, "Add a programme")),
    fold("What a kilowatt-hour costs", tariffFields()),
    fold("The place, the load and the clock", questions.map(questionField)),
    el("p", { class: "sw-buttons" }, el("button", { type: "submit", class: "md-button md-button--primary" }, "Work out the schedule")),
  );
  drawProgrammes();
  return section(
    "When it shall run",
    el("p", {}, "After the wiring the clock has to be set. Say when the load shall be on; the plan covers a year, and the check is made again with its hours."),
    form, result,
  );

  function add() {
    held.programmes.push({ days: "every-day", on: "", off: "", latest: "" });
    drawProgrammes();
    programmes.lastElementChild.querySelector("select").focus();
  }

  function drawProgrammes() {
    programmes.replaceChildren(...held.programmes.map((programme, place) => programmeFields(programme, place, held.programmes.length > 1 && (() => {
      held.programmes.splice(place, 1);
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
  const programme = { days: DAYS.findIndex(([value]) => value === days) < 3 ? days : [days], on, off };
  if (latest) programme.off_not_after = latest;
  return programme;
}

function programmeFields(programme, place, remove) {
  const id = (part) => `sw-plan-${place}-${part}`;
  const keep = (part) => (value) => { programme[part] = value; };
  return el(
    "fieldset", { class: "sw-field sw-plan-programme" },
    el("legend", {}, `Programme ${place + 1}`),
    el("div", { class: "sw-plan-row" },
      el("div", {}, el("label", { for: id("days") }, "Days"), select(id("days"), DAYS, programme.days, keep("days"))),
      field("On", id("on"), programme.on, keep("on")),
      field("Off", id("off"), programme.off, keep("off")),
      field("Off at the latest", id("latest"), programme.latest, keep("latest"))),
    el("p", { class: "sw-hint" }, `${TIMES} “At the latest” is for an off that follows the sun.`),
    remove ? el("p", {}, el("button", { type: "button", class: "sw-link", on: { click: remove } }, "Remove this programme")) : null,
  );
}

function tariffFields() {
  const keep = (part) => (value) => { held.tariff[part] = value; };
  return el(
    "div", { class: "sw-plan-row" },
    field("Price of a kWh", "sw-plan-price", held.tariff.price, keep("price")),
    field("Currency", "sw-plan-currency", held.tariff.currency, keep("currency")),
    field("Cheap from", "sw-plan-from", held.tariff.from, keep("from")),
    field("Cheap until", "sw-plan-until", held.tariff.until, keep("until")),
    field("Price in cheap hours", "sw-plan-cheap", held.tariff.cheap, keep("cheap")),
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
  const choices = [["", "Not said"], ...choicesOf(question).map(({ value, label }) => [value, label]), ["dont-know", "I don’t know"]];
  return el("div", { class: "sw-plan-question" }, el("label", { for: id }, question.text), select(id, choices, given, keep), hint(id, question.help));
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
    el("p", {}, shape("change"), " ", el("strong", {}, "This plan cannot be used.")),
    textList([{ text: `Where: ${where}` }, { text: `What: ${what}` }, { text: why }, { text: fix }]),
  );
}
