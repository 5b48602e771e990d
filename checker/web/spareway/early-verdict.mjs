// Stop, call, or the next question of danger and law, before Python is there: from a table that the checker made when the
// site was built (checker/dev/site/early_verdict.py). Nothing is judged here, and never is anything let through: whatever the table does
// not hold waits for the checker itself.

import { DONT_KNOW, NOT_STATED, choicesOf } from "./words.mjs";

/** What the table says: `{headline: "stop" | "call", failed: [{rule, title, message, fix}]}`, `{question}`, or null (ask the checker). */
export function walk(table, answers) {
  const questions = new Map(table.questions.map((question) => [question.id, question]));
  for (const [id, value] of answers) if (!takes(questions.get(id), value)) return null;
  const found = table.rules.map((rule) => ({ rule, outcome: outcome(rule.tree, answers) }));
  for (const [part, headline] of [["danger", "stop"], ["who", "call"]]) {
    const failed = found.filter((one) => one.rule.part === part && one.outcome.startsWith("!"))
      .map(({ rule, outcome: said }) => ({ rule: rule.rule, title: rule.title, ...rule.failures[Number(said.slice(1))] }));
    if (failed.length) return { headline, failed };
  }
  return next(table, found, questions);
}

/** For a screen of questions: what is clear already, and every question that a rule waits for; null: ask the checker. */
export function earlyStep(table, answers) {
  const said = walk(table, answers);
  const questions = new Map(table.questions.map((question) => [question.id, question]));
  if (said === null && [...answers].some(([id, value]) => !takes(questions.get(id), value))) return null;
  const settled = { headline: said?.headline ?? null, findings: (said?.failed ?? []).map((row) => ({ ...row, outcome: "failed" })) };
  const live = { stop: [], call: ["danger"] }[settled.headline] ?? ["danger", "who"];
  const waits = table.rules.filter((rule) => live.includes(rule.part)).map((rule) => outcome(rule.tree, answers))
    .filter((found) => found.startsWith("?")).map((found) => found.slice(1));
  // What sizing needs to know of the person and the place is asked on the same screens.
  return { waits: [...new Set([...waits, ...(settled.headline === "stop" ? [] : table.also)])], questions, settled, failed: said?.failed ?? [] };
}

/** The question that comes next, as the interview of the checker has it: the dangers first, then the law. */
function next(table, found, questions) {
  const place = new Map(table.questions.map((question, index) => [question.id, index]));
  let best = null;
  for (const { rule, outcome: said } of found) {
    if (!said.startsWith("?")) continue;
    const question = questions.get(said.slice(1));
    if (!question) return null;
    const rank = (question.early || rule.part === "danger" ? 0 : 1000) + place.get(question.id);
    if (!best || rank < best.rank) best = { rank, question };
  }
  return best && { question: best.question };
}

/** What the tree of one rule says: `!0` failed, `?question` waits for it, `""` neither. */
export function outcome(tree, answers) {
  while (typeof tree === "object") {
    const given = answers.get(tree.of) ?? "";
    tree = Object.hasOwn(tree.is, given) ? tree.is[given] : tree.else;
  }
  return tree;
}

function takes(question, value) {
  if (!question) return false;
  return value === DONT_KNOW || (question.not_stated && value === NOT_STATED) || choicesOf(question).some((choice) => choice.value === value);
}

const held = new Map();

/** The table of a rule set, or null when it cannot be had or does not count on the day `day`. */
export async function tableOf(name, day) {
  try {
    if (!held.has(name)) {
      const response = await fetch(new URL(`../generated/early-verdict/${name}.json`, import.meta.url));
      held.set(name, response.ok ? await response.json() : null);
    }
    const table = held.get(name);
    const counts = name.includes("@") || (table.valid_from <= day && day <= (table.valid_until ?? "9999-12-31"));
    return counts ? table : null;
  } catch {
    return null;
  }
}
