// What the core says to a plan, as elements: verdict, picture with its text twin, table to type in, energy, findings.

import { el, fold, shape, textList } from "./dom.mjs";
import { HEADLINES, OUTCOMES, WEIGHTS, withUnit } from "./words.mjs";

const SVG = "http://www.w3.org/2000/svg";
const UNKNOWN = "not known: a thermostat would decide, or the load itself";
const STAYS = { up: "does not set", down: "does not rise" };

/** `text`: the reply as the core gave it; `request`: what was asked, to be saved as an answers file. */
export function planReply(reply, text, { format: _format, ask: _ask, ...answersFile }) {
  const { word, shape: form } = HEADLINES[reply.headline];
  const cost = costs(reply.year);
  return el(
    "div", {},
    el("div", { class: `sw-headline sw-head-${reply.headline}` }, shape(form),
      el("div", {}, el("p", { class: "sw-word" }, word), el("h3", {}, reply.headline_text))),
    el("p", {}, el("strong", {}, "Schedule: "), reply.schedule.text),
    wiring(reply.wiring),
    findings(reply.findings, "failed", "What does not hold"),
    findOut(reply),
    part("Mind this", textList(reply.cautions)),
    part("A week at a glance", picture(reply.drawing), table(["Day", "On"], reply.week.map((day) => [
      `${day.day} ${day.date}`, day.runs.map((run) => `${run.from} to ${run.to}`).join(", ") || "off"]))),
    part("To type into the clock", table(["Programme", "On", "Off"], reply.settings.map(setting)), ...reply.settings.map(byMonth)),
    part("Sunrise and sunset", sun(reply.sun)),
    reply.clock_changes.length ? part(`When the clocks change (${reply.zone.name})`, table(
      ["Day", "From", "To"], reply.clock_changes.map((change) => [change.date, change.from, change.to]))) : null,
    part("Energy and cost", ...cost, window_(reply)),
    fold("What holds", findings(reply.findings, "passed", "")),
    part("Who has the last word", textList(reply.defers_to)),
    part("What was not checked", textList(reply.not_checked)),
    el("p", { class: "sw-buttons sw-screen" },
      button("Save as a calendar", "spareway-plan.ics", "text/calendar", () => reply.calendar),
      button("Save answers and plan", "spareway-plan.json", "application/json", () => `${JSON.stringify(answersFile, null, 1)}\n`),
      button("Save the report", "spareway-plan-report.json", "application/json", () => text)),
  );
}

function part(title, ...children) {
  const inside = children.flat().filter(Boolean);
  return inside.length ? el("div", { class: "sw-plan-part" }, el("h3", {}, title), ...inside) : null;
}

/** Tables as the style sheet stacks them on a narrow screen: each cell says which column it belongs to. */
function table(head, rows) {
  if (!rows.length) return null;
  return el("table", { class: "sw-table" },
    el("thead", {}, el("tr", {}, head.map((name) => el("th", { scope: "col" }, name)))),
    el("tbody", {}, rows.map(([first, ...others]) => el("tr", {}, el("th", { scope: "row" }, first),
      others.map((value, place) => el("td", { "data-label": head[place + 1] }, value || "–"))))));
}

/** The core says where every shape stands; here it is only drawn. */
function picture({ width, height, label, shapes }) {
  const make = (kind, attributes, text) => {
    const element = document.createElementNS(SVG, kind);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    if (text) element.textContent = text;
    return element;
  };
  const svg = make("svg", { viewBox: `0 0 ${width} ${height}`, class: "sw-plan-week", role: "img", "aria-label": label });
  svg.append(...shapes.map(({ kind, class: name, text, anchor, ...places }) => make(
    kind, { ...places, class: `sw-plan-${name}`, ...(anchor ? { "text-anchor": anchor } : {}) }, text)));
  return el("div", { class: "sw-plan-picture" }, svg);
}

function setting(row) {
  const season = row.season ? `, ${row.season.join(" to ")}` : "";
  return [`${row.programme}: ${row.days}${season}`, row.on, row.off_next_day ? `${row.off} (next day)` : row.off];
}

function byMonth(row) {
  return row.by_month.length ? fold(`Programme ${row.programme} by month, for a clock that does not know the sun`, table(
    ["Month", "On", "Off"], row.by_month.map((month) => [month.month, month.on ?? "no run", month.off]))) : null;
}

function sun({ by_month: months, sunless }) {
  if (!months.length) return null;
  const spans = sunless.map((span) => ({ text: `From ${span.from} to ${span.until} the sun ${STAYS[span.sun]}: programme ${span.programme} finds no ${span.event}.` }));
  return [textList(spans), fold("On the 15th of each month", table(["Day", "Rises", "Sets"], months.map(
    (day) => (day.stays ? [day.date, `the sun ${STAYS[day.stays]}`, ""] : [day.date, day.rises, day.sets]))))];
}

function costs(year) {
  const most = year.at_most ? "at most " : "";
  const rows = [["Switched on", withUnit(year.hours, "h"), withUnit(year.hours_all, "h")]];
  if (year.model === "none") {
    return [table(["In a year", "As planned", "On all the time"], rows), el("p", {}, `Energy and cost are not known; they need: ${year.unknown.join(", ")}.`)];
  }
  rows.push(["Energy", most + withUnit(year.kwh, "kWh"), year.always_kwh === null ? UNKNOWN : most + withUnit(year.always_kwh, "kWh")]);
  rows.push(["Energy a day", most + withUnit(year.kwh_day, "kWh"), ""]);
  if (year.cost !== null) {
    rows.push(["Cost", `${most}${year.cost} ${year.currency}`, year.always_cost === null ? UNKNOWN : `${most}${year.always_cost} ${year.currency}`]);
    rows.push(["Cost a day", `${most}${year.cost_day} ${year.currency}`, ""]);
  }
  const saves = year.timer_saves_kwh_at_most;
  return [
    table(["In a year", "As planned", "On all the time"], rows),
    saves === null ? null : el("p", {}, `By letting the tank cool, a timer saves at most ${withUnit(saves, "kWh")} in the year: the loss while it is cold. What else it saves is the difference between dear and cheap hours.`),
  ];
}

function window_({ cheapest_window: cheapest, year }) {
  if (!cheapest) return null;
  const later = cheapest.next_day ? " on the next day" : "";
  return el("p", {}, `The cheapest daily window that heats the tank is ${cheapest.from} to ${cheapest.until}${later}: ${cheapest.cost_day} ${year.currency} a day at full power; the dearest costs ${cheapest.dearest_cost_day} ${year.currency}.`);
}

function wiring(judged) {
  const told = judged.run_hours_answered === null ? "was not told how long it runs" : `was told ${withUnit(judged.run_hours_answered, "h")}`;
  return [
    el("p", {}, el("strong", {}, "Wiring: "), judged.text, ` The longest run of the plan is ${withUnit(judged.run_hours_planned, "h")}; the check ${told}. It was made again with the plan’s.`),
    judged.changed.length ? textList(judged.changed.map((change) => ({
      text: `${change.title}: ${OUTCOMES[change.before].word} before, ${OUTCOMES[change.after].word} now. ${change.message}` }))) : null,
  ].filter(Boolean);
}

function findings(all, outcome, title) {
  const found = all.filter((finding) => finding.outcome === outcome);
  if (!found.length) return null;
  const list = found.map((finding) => el(
    "div", { class: `sw-finding sw-is-${outcome}` },
    el("p", { class: "sw-outcome" }, shape(OUTCOMES[outcome].shape), el("strong", {}, finding.title), el("span", { class: "sw-weight" }, WEIGHTS[finding.weight])),
    el("p", {}, finding.message),
    finding.fix ? el("p", {}, el("strong", {}, "What to do: "), finding.fix) : null,
    el("p", { class: "sw-hint" }, finding.sources.map(({ title: name, clause, status }) => `${name}${clause ? `, ${clause}` : ""} (${status})`).join("; ")),
  ));
  return title ? part(title, list) : el("div", {}, list);
}

function findOut(reply) {
  const own = reply.find_out.map(({ text, how }) => ({ text: how ? `${text} ${how}` : text }));
  return own.length ? part("What to find out", textList(own)) : null;
}

function button(label, name, type, content) {
  return el("button", { type: "button", class: "md-button sw-small", on: { click: () => save(name, type, content()) } }, label);
}

function save(name, type, content) {
  const address = URL.createObjectURL(new Blob([content], { type }));
  el("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
