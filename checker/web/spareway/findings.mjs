// The findings of a report: what each rule says, on which figures it rests, and where those come from.

import { el, fold, section, shape } from "./dom.mjs";
import { confirming, format } from "./state.mjs";
import { OUTCOMES, RELATIONS, WEIGHTS, nameText, statusText, withUnit } from "./words.mjs";

/** Every finding, stage by stage in the order of the run; those that do not apply are folded away. */
export function findingsByStage(report, stages, state) {
  const parts = stages.map((stage) => {
    const here = report.findings.filter((finding) => finding.stage === stage.id);
    const apply = here.filter((finding) => finding.outcome !== "not-applicable");
    const rest = here.filter((finding) => finding.outcome === "not-applicable");
    if (!here.length) return null;
    return el(
      "section", { class: "sw-stage" },
      el("h3", {}, stage.title),
      apply.map((finding) => findingView(finding, report.pack.id, state)),
      rest.length ? fold(`Does not apply here (${rest.length})`, el("ul", {}, rest.map((finding) => el("li", {}, finding.title)))) : null,
    );
  });
  return section("Every rule, one by one", parts);
}

/** The id of a finding's element, so that other parts of the report can lead to it. */
function findingId(rule) {
  return `finding-${rule}`;
}

/** A button that leads to a finding. Not a link: the address holds the answers. */
export function toFinding(rule, title) {
  const lead = () => {
    const target = document.getElementById(findingId(rule));
    target.querySelector("h4").focus();
    target.scrollIntoView({ block: "start" });
  };
  return el("button", { type: "button", class: "sw-link", on: { click: lead } }, title);
}

function findingView(finding, pack, state) {
  const { word, shape: form } = OUTCOMES[finding.outcome];
  return el(
    "article", { class: `sw-finding sw-is-${finding.outcome}`, id: findingId(finding.rule) },
    el("h4", { tabindex: "-1" }, finding.title),
    el("p", { class: "sw-outcome" }, shape(form), el("strong", {}, word),
      el("span", { class: "sw-weight" }, WEIGHTS[finding.weight] ?? finding.weight)),
    el("p", {}, finding.message),
    finding.fix ? el("p", { class: "sw-fix" }, el("strong", {}, "What to do: "), finding.fix) : null,
    finding.reasons.length ? el("ul", {}, finding.reasons.map((reason) => reasonView(reason, state))) : null,
    fold("Figures and sources", sources(finding, pack), cells(finding, pack)),
  );
}

function reasonView(reason, state) {
  return el("li", {}, reason.text, reason.kind === "confirm" ? el("p", { class: "sw-screen" }, confirmLink(reason.id, state)) : null);
}

/** The reader's word that the printed figure is the same, which gives a pass back that a weak figure took away. */
export function confirmLink(cell, state) {
  return el("a", { class: "md-button sw-small", href: format(confirming(state, cell)) },
    "My copy says the same", el("span", { class: "sw-hidden" }, ` ${cell}`));
}

// The reference pages of the site, written by checker.dev.pages.
const REFERENCE = new URL("../reference/", import.meta.url);

function reference(place, ...inside) {
  return el("a", { href: new URL(place, REFERENCE).href }, ...inside);
}

function sources(finding, pack) {
  const rule = el("li", {}, "The rule itself: ", reference(`${pack}/rules/#${finding.rule}`, el("code", {}, finding.rule)));
  return el("ul", { class: "sw-sources" }, rule, finding.sources.map((source) => el(
    "li", {}, reference(`${pack}/sources/#${source.id}`, source.title), source.clause ? `, ${source.clause}` : "", el("span", { class: "sw-hint" }, statusText(source.status)),
  )));
}

/** A cell of a table is called table/key/key; a single figure has a name without a stroke. */
function cellPlace(cell, pack) {
  const [table, ...keys] = cell.split("/");
  return keys.length ? `${pack}/tables/${table}/` : `${pack}/figures/`;
}

function cells(finding, pack) {
  if (!finding.cells.length) return null;
  return stackingTable(["Figure", "Value", "Where", "How well known", "Checked"], finding.cells.map((cell) => ({ cells: [
    reference(cellPlace(cell.id, pack), el("code", {}, cell.id)),
    cell.value === null ? "none" : withUnit(cell.value, cell.unit),
    [cell.source, cell.clause].filter(Boolean).join(", "),
    statusText(cell.status),
    cell.checked ?? "unknown",
  ] })));
}

/** A table that becomes a stack of labelled lines on a small screen. Rows: `{outcome, cells}`, the first cell heads its row. */
function stackingTable(heads, rows) {
  return el(
    "table", { class: "sw-table" },
    el("thead", {}, el("tr", {}, heads.map((head) => el("th", { scope: "col" }, head)))),
    el("tbody", {}, rows.map(({ outcome, cells: [first, ...rest] }) => el(
      "tr", outcome ? { class: `sw-is-${outcome}` } : {},
      el("th", { scope: "row" }, first),
      rest.map((inside, place) => el("td", { "data-label": heads[place + 1] }, inside)),
    ))),
  );
}

/** Both sides of every comparison, with the room between them. */
export function margins(report, names) {
  const compared = report.findings.filter((finding) => finding.left && finding.right);
  if (!compared.length) return null;
  const side = (value, relation) => [
    relation ? `${RELATIONS[relation]} ` : null,
    el("strong", { title: `exactly ${value.exact}` }, withUnit(value.value, value.unit)), el("span", { class: "sw-hint" }, nameText(value.name, names)),
  ];
  const outcome = ({ word, shape: form }) => el("span", { class: "sw-outcome" }, shape(form), word);
  return stackingTable(["Rule", "Figure", "Has to be", "Margin"], compared.map((finding) => ({
    outcome: finding.outcome,
    cells: [
      [toFinding(finding.rule, finding.title), outcome(OUTCOMES[finding.outcome])],
      side(finding.left),
      side(finding.right, finding.relation),
      finding.margin_percent === null ? "none" : withUnit(finding.margin_percent.replace("-", "\u2212"), "percent"),
    ],
  })));
}
