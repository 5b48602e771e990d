// The findings of a report: what each rule says, on which figures it rests, and where those come from.

import { el, fold, shape } from "./dom.mjs";
import { rulesLanguage, t } from "./say.mjs";
import { confirming, format } from "./state.mjs";
import { marginBar, workingView } from "./working.mjs";
import { OUTCOMES, RELATIONS, WEIGHTS, nameText, statusText, withUnit } from "./words.mjs";

/**
 * Every finding, stage by stage in the order of the run; those that do not apply are folded away. `rules`: Map(id -> rule
 * as `describe` tells it), `facts` and `names` see working.mjs; `folder`: where the reference pages of the edition stand.
 */
export function findingsByStage(report, stages, state, { rules, facts, names, folder }) {
  const working = (finding) => workingView(finding, rules.get(finding.rule), facts, names);
  const parts = stages.map((stage) => {
    const here = report.findings.filter((finding) => finding.stage === stage.id);
    const apply = here.filter((finding) => finding.outcome !== "not-applicable");
    const rest = here.filter((finding) => finding.outcome === "not-applicable");
    if (!here.length) return null;
    return el(
      "section", { class: "sw-stage" },
      el("h3", { lang: rulesLanguage() }, stage.title),
      apply.map((finding) => findingView(finding, folder, state, working(finding))),
      rest.length ? fold(t("findings.not", { n: rest.length }), el("ul", { lang: rulesLanguage() }, rest.map((finding) => el("li", {}, finding.title)))) : null,
    );
  });
  return parts.filter(Boolean);
}

/** The id of a finding's element, so that other parts of the report can lead to it. */
function findingId(rule) {
  return `finding-${rule}`;
}

/** A button that leads to a finding. Not a link: the address holds the answers. */
export function toFinding(rule, title) {
  const lead = () => {
    const target = document.getElementById(findingId(rule));
    for (let around = target.parentElement; around; around = around.parentElement) if (around.tagName === "DETAILS") around.open = true;
    target.querySelector("h4").focus();
    target.scrollIntoView({ block: "start" });
  };
  return el("button", { type: "button", class: "sw-link", lang: rulesLanguage(), on: { click: lead } }, title);
}

function findingView(finding, folder, state, working) {
  const { word, shape: form } = OUTCOMES[finding.outcome];
  return el(
    "article", { class: `sw-finding sw-is-${finding.outcome}`, id: findingId(finding.rule) },
    el("h4", { tabindex: "-1", lang: rulesLanguage() }, finding.title),
    el("p", { class: "sw-outcome" }, shape(form), el("strong", {}, word),
      el("span", { class: "sw-weight" }, WEIGHTS[finding.weight] ?? finding.weight)),
    el("p", { lang: rulesLanguage() }, finding.message),
    finding.fix ? el("p", { class: "sw-fix" }, el("strong", {}, t("findings.fix"), " "), el("span", { lang: rulesLanguage() }, finding.fix)) : null,
    finding.reasons.length ? el("ul", {}, finding.reasons.map((reason) => reasonView(reason, state))) : null,
    fold(t("findings.working"), working),
    fold(t("findings.sources"), sources(finding, folder), cells(finding, folder)),
  );
}

function reasonView(reason, state) {
  return el("li", {}, el("span", { lang: rulesLanguage() }, reason.text), reason.kind === "confirm" ? el("p", { class: "sw-screen" }, confirmLink(reason.id, state)) : null);
}

/** The reader's word that the printed figure is the same, which gives a pass back that a weak figure took away. */
export function confirmLink(cell, state) {
  return el("a", { class: "md-button sw-small", href: format(confirming(state, cell)) },
    t("findings.same"), el("span", { class: "sw-hidden" }, ` ${cell}`));
}

// The reference pages of the site, written by checker.dev.site.pages.
const REFERENCE = new URL("../reference/", import.meta.url);

function reference(place, ...inside) {
  return el("a", { href: new URL(place, REFERENCE).href }, ...inside);
}

/** The clause, where there is one to name: rules write "trade practice" where there is none, and the source says that already. */
const place = ({ clause }) => (clause === "trade practice" ? "" : clause);

function sources(finding, folder) {
  const rule = el("li", {}, t("findings.rule-itself"), " ", reference(`${folder}/rules/#${finding.rule}`, el("code", {}, finding.rule)));
  return el("ul", { class: "sw-sources" }, rule, finding.sources.map((source) => el(
    "li", {}, reference(`${folder}/sources/#${source.id}`, source.title), place(source) ? `, ${place(source)}` : "", el("span", { class: "sw-hint" }, statusText(source.status)),
  )));
}

/** A cell of a table is called table/key/key; a single figure has a name without a stroke. */
function cellPlace(cell, folder) {
  const [table, ...keys] = cell.split("/");
  return keys.length ? `${folder}/tables/${table}/` : `${folder}/figures/`;
}

function cells(finding, folder) {
  if (!finding.cells.length) return null;
  return stackingTable(["numbers.figure", "findings.value", "findings.where", "findings.known", "findings.checked"].map((key) => t(key)), finding.cells.map((cell) => ({ cells: [
    reference(cellPlace(cell.id, folder), el("code", {}, cell.id)),
    cell.value === null ? t("numbers.none") : withUnit(cell.value, cell.unit),
    [cell.source, place(cell)].filter(Boolean).join(", "),
    statusText(cell.status),
    cell.checked ?? t("findings.unknown"),
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

/** A comparison in one line, with its bar: what there is, the limit, what is to spare. Null for a finding without figures. */
export function gauge(finding) {
  const { left, right, relation, margin_percent: margin } = finding;
  if (!left || !right) return null;
  const room = margin === null ? null : Number(margin) < 0 ? t("near.misses", { margin: withUnit(margin.replace("-", ""), "percent") })
    : Number(margin) === 0 ? t("near.none") : t("near.spare", { margin: withUnit(margin, "percent") });
  return el("div", { class: "sw-gauge" }, marginBar(finding, "sw-gauge-bar"),
    el("p", {}, t("near.figures", { left: withUnit(left.value, left.unit), relation: RELATIONS[relation], right: withUnit(right.value, right.unit) }), room ? `; ${room}` : ""));
}

/** Both sides of every comparison, with the room between them. */
export function margins(report, names) {
  const compared = report.findings.filter((finding) => finding.left && finding.right);
  if (!compared.length) return null;
  const side = (value, relation) => [
    relation ? `${RELATIONS[relation]} ` : null,
    el("strong", { title: t("numbers.exactly", { exact: value.exact }) }, withUnit(value.value, value.unit)), el("span", { class: "sw-hint" }, nameText(value.name, names)),
  ];
  const outcome = ({ word, shape: form }) => el("span", { class: "sw-outcome" }, shape(form), word);
  const heads = ["numbers.rule", "numbers.figure", "numbers.has-to-be", "numbers.margin"].map((key) => t(key));
  return el("div", {}, el("p", { class: "sw-hint" }, t("numbers.bar")), stackingTable(heads, compared.map((finding) => ({
    outcome: finding.outcome,
    cells: [
      [toFinding(finding.rule, finding.title), outcome(OUTCOMES[finding.outcome])],
      side(finding.left),
      side(finding.right, finding.relation),
      [finding.margin_percent === null ? t("numbers.none") : withUnit(finding.margin_percent.replace("-", "\u2212"), "percent"), marginBar(finding)].filter(Boolean),
    ],
  }))));
}
