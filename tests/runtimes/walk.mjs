// Walks the tables of the early verdict as the page does: reads {table, cases: [{question: answer}]}, writes what the page would say of each.
import { readFileSync } from "node:fs";

import { outcome, walk } from "../../checker/web/spareway/early-verdict.mjs";

const { table, cases } = JSON.parse(readFileSync(0, "utf-8"));
const said = cases.map((answers) => {
  const given = new Map(Object.entries(answers));
  const found = walk(table, given);
  const rules = Object.fromEntries(table.rules.map(({ rule, tree }) => [rule, outcome(tree, given)]));
  return { headline: found?.headline ?? null, failed: found?.failed ?? [], question: found?.question?.id ?? null, rules };
});
process.stdout.write(JSON.stringify(said));
