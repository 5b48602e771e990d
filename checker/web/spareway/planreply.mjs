// What the core says to a plan, as elements: verdict, picture with its text twin, table to type in, energy, findings.

import { el, fold, shape, svg, textList } from "./dom.mjs";
import { rulesLanguage, t } from "./say.mjs";
import { HEADLINES, OUTCOMES, WEIGHTS, withUnit } from "./words.mjs";

/**
 * `text`: the reply as the core gave it; `request`: what was asked, to be saved as an answers file; `answerHere(id)`: the
 * way to answer a question, or null.
 */
export function planReply(reply, text, { format: _format, ask: _ask, ...answersFile }, answerHere) {
  const { word, shape: form } = HEADLINES[reply.headline];
  const cost = costs(reply.year, answerHere);
  return el(
    "div", {},
    el("div", { class: `sw-headline sw-head-${reply.headline}` }, shape(form),
      el("div", {}, el("p", { class: "sw-word" }, word), el("h3", {}, reply.headline_text))),
    el("p", {}, el("strong", {}, t("planned.schedule"), " "), reply.schedule.text),
    wiring(reply.wiring),
    findings(reply.findings, "failed", t("planned.failed")),
    findOut(reply, answerHere),
    part(t("planned.mind"), textList(reply.cautions)),
    part(t("planned.week"), picture(reply.drawing), table([t("planned.day"), t("plan.on")], reply.week.map((day) => [
      `${day.day} ${day.date}`, day.runs.map((run) => t("planned.run", run)).join(", ") || t("planned.off")]))),
    part(t("planned.clock"), table([t("plan.programme", { n: "" }).trim(), t("plan.on"), t("plan.off")], reply.settings.map(setting)), ...reply.settings.map(byMonth)),
    part(t("planned.sun"), sun(reply.sun)),
    reply.clock_changes.length ? part(t("planned.changes", { zone: reply.zone.name }), table(
      [t("planned.day"), t("planned.from"), t("planned.to")], reply.clock_changes.map((change) => [change.date, change.from, change.to]))) : null,
    part(t("planned.energy"), ...cost, window_(reply)),
    fold(t("planned.holds"), findings(reply.findings, "passed", "")),
    part(t("report.last-word"), textList(reply.defers_to)),
    part(t("report.not-checked"), textList(reply.not_checked)),
    el("p", { class: "sw-buttons sw-screen" },
      button(t("planned.calendar"), "spareway-plan.ics", "text/calendar", () => reply.calendar),
      button(t("planned.save"), "spareway-plan.json", "application/json", () => `${JSON.stringify(answersFile, null, 1)}\n`),
      button(t("report.save"), "spareway-plan-report.json", "application/json", () => text)),
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
  return el("div", { class: "sw-plan-picture" },
    svg("svg", { viewBox: `0 0 ${width} ${height}`, class: "sw-plan-week", role: "img", "aria-label": label },
      shapes.map(({ kind, class: name, text, anchor, ...places }) => svg(
        kind, { ...places, class: `sw-plan-${name}`, "text-anchor": anchor }, text))));
}

function setting(row) {
  const season = row.season ? `, ${t("planned.season", { from: row.season[0], to: row.season[1] })}` : "";
  return [`${t("planned.setting", row)}${season}`, row.on, row.off_next_day ? t("planned.next-day", row) : row.off];
}

function byMonth(row) {
  return row.by_month.length ? fold(t("planned.by-month", { n: row.programme }), table(
    [t("planned.month"), t("plan.on"), t("plan.off")], row.by_month.map((month) => [month.month, month.on ?? t("planned.no-run"), month.off]))) : null;
}

function sun({ by_month: months, sunless }) {
  if (!months.length) return null;
  const spans = sunless.map((span) => ({ text: t("planned.sunless", { ...span, stays: t(`planned.stays.${span.sun}`) }) }));
  return [textList(spans), fold(t("planned.fifteenth"), table([t("planned.day"), t("planned.rises"), t("planned.sets")], months.map(
    (day) => (day.stays ? [day.date, t(`planned.stays.${day.stays}`), ""] : [day.date, day.rises, day.sets]))))];
}

function costs(year, answerHere) {
  const most = (value) => (year.at_most ? t("planned.at-most", { value }) : value);
  const rows = [[t("planned.switched-on"), withUnit(year.hours, "h"), withUnit(year.hours_all, "h")]];
  if (year.model === "none") {
    return [table([t("planned.year"), t("planned.as-planned"), t("planned.all-time")], rows), el("p", {}, t("planned.needs")), el("ul", {}, year.unknown.map((id) => el("li", {}, answerHere(id) ?? id)))];
  }
  rows.push([t("planned.kwh"), most(withUnit(year.kwh, "kWh")), year.always_kwh === null ? t("planned.unknown") : most(withUnit(year.always_kwh, "kWh"))]);
  rows.push([t("planned.kwh-day"), most(withUnit(year.kwh_day, "kWh")), ""]);
  if (year.cost !== null) {
    rows.push([t("planned.cost"), most(`${year.cost} ${year.currency}`), year.always_cost === null ? t("planned.unknown") : most(`${year.always_cost} ${year.currency}`)]);
    rows.push([t("planned.cost-day"), most(`${year.cost_day} ${year.currency}`), ""]);
  }
  const saves = year.timer_saves_kwh_at_most;
  return [
    table([t("planned.year"), t("planned.as-planned"), t("planned.all-time")], rows),
    saves === null ? null : el("p", {}, t("planned.saves", { kwh: withUnit(saves, "kWh") })),
  ];
}

function window_({ cheapest_window: cheapest, year }) {
  if (!cheapest) return null;
  return el("p", {}, t(cheapest.next_day ? "planned.cheapest-later" : "planned.cheapest", {
    from: cheapest.from, until: cheapest.until, cost: `${cheapest.cost_day} ${year.currency}`, dearest: `${cheapest.dearest_cost_day} ${year.currency}` }));
}

function wiring(judged) {
  const hours = withUnit(judged.run_hours_planned, "h");
  const longest = judged.run_hours_answered === null ? t("planned.longest-untold", { hours }) : t("planned.longest", { hours, told: withUnit(judged.run_hours_answered, "h") });
  return [
    el("p", {}, el("strong", {}, t("planned.wiring"), " "), el("span", { lang: rulesLanguage() }, judged.text), ` ${longest}`),
    judged.changed.length ? textList(judged.changed.map((change) => ({
      text: t("planned.changed", { title: change.title, before: OUTCOMES[change.before].word, after: OUTCOMES[change.after].word, message: change.message }) }))) : null,
  ].filter(Boolean);
}

function findings(all, outcome, title) {
  const found = all.filter((finding) => finding.outcome === outcome);
  if (!found.length) return null;
  const list = found.map((finding) => el(
    "div", { class: `sw-finding sw-is-${outcome}` },
    el("p", { class: "sw-outcome" }, shape(OUTCOMES[outcome].shape), el("strong", {}, finding.title), el("span", { class: "sw-weight" }, WEIGHTS[finding.weight])),
    el("p", {}, finding.message),
    finding.fix ? el("p", {}, el("strong", {}, t("findings.fix"), " "), finding.fix) : null,
    el("p", { class: "sw-hint" }, finding.sources.map(({ title: name, clause, status }) => `${name}${clause ? `, ${clause}` : ""} (${status})`).join("; ")),
  ));
  return title ? part(title, list) : el("div", {}, list);
}

function findOut(reply, answerHere) {
  return reply.find_out.length ? part(t("findout.title"), el("ul", { lang: rulesLanguage() }, reply.find_out.map(({ text, how, question }) => {
    const way = question ? answerHere(question) : null;
    return el("li", {}, text, how ? ` ${how}` : null, way ? el("p", { class: "sw-screen" }, `${t("findout.answer")}: `, way) : null);
  }))) : null;
}

function button(label, name, type, content) {
  return el("button", { type: "button", class: "md-button sw-small", on: { click: () => save(name, type, content()) } }, label);
}

function save(name, type, content) {
  const address = URL.createObjectURL(new Blob([content], { type }));
  el("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
