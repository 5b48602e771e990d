// The same job under other rule sets or editions: asked for when somebody wants it, what differs first.

import { el, fold, folded, shape } from "./dom.mjs";
import { t, tn } from "./say.mjs";
import { HEADLINES, OUTCOMES, RELATIONS, WHO, nameText, withUnit } from "./words.mjs";

/** `others`: the rule sets that can be chosen, `{name, title}`; `ask(names)`: a promise of the core's reply to `compare`. */
export function compareView({ others, ask }, names) {
  if (!others.length) return null;
  const boxes = others.map(({ name }) => el("input", { type: "checkbox", value: name }));
  const result = el("div", { "aria-live": "polite" });
  const button = el("button", { type: "submit", class: "md-button sw-small" }, t("compare.button"));
  const run = async (event) => {
    event.preventDefault();
    const chosen = boxes.filter((box) => box.checked).map((box) => box.value);
    if (!chosen.length) {
      result.replaceChildren(el("p", { class: "sw-error" }, t("compare.choose")));
      return;
    }
    const { reply } = await ask(chosen);
    result.replaceChildren(...(reply.error ? [el("p", { class: "sw-error" }, `${reply.error.what}. ${reply.error.fix}`)] : comparison(reply, names)));
  };
  return folded(
    t("compare.title"), null,
    el("p", {}, t("compare.lead")),
    el("form", { class: "sw-compare sw-screen", method: "dialog", on: { submit: run } },
      el("fieldset", {}, el("legend", {}, t("compare.with")), boxes.map((box, place) => el("label", { class: "sw-tick" }, box, el("span", {}, others[place].title)))),
      el("p", { class: "sw-buttons" }, button)),
    result,
  );
}

function comparison(reply, names) {
  const heads = columns(reply.packs);
  const differing = reply.findings.filter((row) => row.differs === "outcome");
  const figures = reply.findings.filter((row) => row.differs === "figures");
  const worked = reply.quantities.filter((row) => row.differs !== "same");
  const same = reply.findings.length - differing.length - figures.length;
  return [
    wide(t("compare.verdicts"), ["", ...heads], [
      [t("compare.verdict"), ...reply.packs.map((one) => marked(HEADLINES[one.headline]))],
      [t("report.who"), ...reply.packs.map((one) => marked(WHO[one.who.outcome]))],
      [t("compare.sizing"), ...reply.packs.map((one) => marked(HEADLINES[one.sizing.outcome]))],
    ]),
    ...reply.packs.filter((one) => one.pack.notice).map((one) => el("p", { class: "sw-notice" }, `${one.pack.title}: ${one.pack.notice}`)),
    ...reply.packs.filter((one) => one.pack.preview).map((one) => el("p", { class: "sw-notice" }, t("compare.preview", { title: one.pack.title, text: one.pack.preview }))),
    differing.length ? wide(t("compare.differently"), [t("numbers.rule"), ...heads], differing.map((row) => findingRow(row))) : null,
    figures.length ? wide(t("compare.figures"), [t("numbers.rule"), ...heads], figures.map((row) => findingRow(row))) : null,
    worked.length ? fold(`${t("compare.worked")} (${worked.length})`, wide(t("compare.worked"), ["", ...heads], worked.map((row) => [
      nameText(row.quantity, names), ...row.by_pack.map((entry) => (entry ? withUnit(entry.value, entry.unit) : t("compare.unknown"))),
    ]))) : null,
    el("p", {}, tn("compare.same", { n: same })),
    leftOut(reply.packs, heads),
  ].filter(Boolean);
}

/** Ids, with the edition where one rule set comes twice. */
function columns(packs) {
  const ids = packs.map((one) => one.pack.id);
  return packs.map((one) => (ids.filter((id) => id === one.pack.id).length > 1 ? `${one.pack.id} ${one.pack.edition}` : one.pack.id));
}

function findingRow(row) {
  return [row.title, ...row.by_pack.map((entry) => {
    if (!entry) return t("compare.no-rule");
    if (entry.outcome === "not-applicable" || !entry.left) return marked(OUTCOMES[entry.outcome]);
    return [marked(OUTCOMES[entry.outcome]), el("span", { class: "sw-hint" },
      t("compare.has-to-be", { left: withUnit(entry.left.value, entry.left.unit), relation: RELATIONS[entry.relation], right: withUnit(entry.right.value, entry.right.unit) }))];
  })];
}

function leftOut(packs, heads) {
  const lines = packs.flatMap((one, place) => one.left_out.map((entry) => el("li", {}, `${heads[place]}: ${entry.label} = ${entry.value}: ${entry.why}`)));
  return lines.length ? fold(t("compare.left-out", { n: lines.length }), el("ul", {}, lines)) : null;
}

function marked({ word, shape: form }) {
  return el("span", { class: "sw-outcome" }, shape(form), word);
}

/** A table as wide as it needs; on a small screen it is moved sideways, and the keyboard can do that too. */
function wide(caption, head, rows) {
  return el("div", { class: "sw-wide", role: "region", "aria-label": caption, tabindex: "0" }, el(
    "table", {},
    el("caption", {}, caption),
    el("thead", {}, el("tr", {}, head.map((name) => (name ? el("th", { scope: "col" }, name) : el("td"))))),
    el("tbody", {}, rows.map(([first, ...rest]) => el("tr", {}, el("th", { scope: "row" }, first), rest.map((inside) => el("td", {}, inside))))),
  ));
}
