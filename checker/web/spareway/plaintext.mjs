// The verdict as plain text, to send to whoever does the work: what is known, what is not, and the numbers.

import { el, folded } from "./dom.mjs";
import { t } from "./say.mjs";
import { DONT_KNOW, HEADLINES, NOT_STATED, OUTCOMES, RELATIONS, WHO, answerText, nameText, withUnit } from "./words.mjs";

/** The text. `questions`: Map(id -> question), `names`: see words.mjs. */
export function plainText({ report, questions, names }) {
  const asked = (id) => questions.get(id)?.label ?? id;
  const answers = Object.entries(report.answers);
  const open = (value) => value === DONT_KNOW || value === NOT_STATED;
  const line = ([id, value]) => `${asked(id)}: ${answerText(questions.get(id), value)}`;
  const side = ({ name, value, unit }) => `${nameText(name, names)} ${withUnit(value, unit)}`;
  const part = (title, lines) => (lines.length ? ["", title, ...lines.map((entry) => `- ${entry}`)] : []);
  const { pack } = report;
  return [
    `${HEADLINES[report.headline].word.toUpperCase()}: ${report.headline_text}`,
    `${t("report.who")}: ${WHO[report.who.outcome].word}. ${report.who.text}`,
    `${t("report.sizing")}: ${HEADLINES[report.sizing.outcome].word}. ${report.sizing.text}`,
    ...part(t("changes.title"), report.findings.filter((finding) => finding.outcome === "failed").map(
      (finding) => [finding.title, finding.message, finding.fix].filter(Boolean).join(". ").replace(/\.\./g, "."))),
    ...part(t("copy.facts"), answers.filter(([, value]) => !open(value)).map(line)),
    ...part(t("answers.assumed"), Object.entries(report.assumed ?? {}).map(([id, { value }]) => line([id, value]))),
    ...part(t("copy.unknown"), answers.filter(([, value]) => open(value)).map(line)),
    ...part(t("findout.title"), report.find_out.map((item) => item.text)),
    ...part(t("numbers.title"), report.findings.filter((finding) => finding.left && finding.right).map(
      (finding) => `${finding.title}: ${side(finding.left)}, ${t("numbers.has-to-be")} ${RELATIONS[finding.relation]} ${side(finding.right)} (${OUTCOMES[finding.outcome].word})`)),
    ...part(t("report.not-checked"), report.not_checked.map((item) => item.text)),
    "",
    t("copy.from", { pack: pack.title, edition: pack.edition, version: pack.version, day: report.as_of, sha: pack.sha256.slice(0, 12) }),
    t("copy.paper"),
  ].join("\n").replaceAll("\u00a0", " ");
}

/** A section with a button that copies, and the text itself for where nothing can be copied. */
export function copySection(parts) {
  const text = plainText(parts);
  const area = el("textarea", { class: "sw-input sw-copy", id: "sw-copy", readonly: true, rows: "12", spellcheck: "false" }, text);
  const holder = el("details", { class: "sw-fold" }, el("summary", {}, t("copy.show")),
    el("label", { for: "sw-copy", class: "sw-hint" }, t("copy.label")), area);
  const said = el("p", { class: "sw-hint", role: "status" });
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(text);
      said.textContent = t("copy.done");
    } catch {
      holder.open = true;
      area.focus();
      area.select();
      said.textContent = t("copy.by-hand");
    }
  };
  const made = folded(t("copy.title"), null, el("p", {}, t("copy.lead")),
    el("p", { class: "sw-buttons" }, el("button", { type: "button", class: "md-button sw-small", on: { click: copy } }, t("copy.button"))), said, holder);
  made.classList.add("sw-screen");
  return made;
}
