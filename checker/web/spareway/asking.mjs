// What the page asks the core, and the replies that are asked for once and then held.

import { Checker } from "./client.mjs";
import { view } from "./frame.mjs";
import { learn } from "./pictures.mjs";
import { request, ruleSet, today } from "./state.mjs";
import { namesOf } from "./words.mjs";

let checker = null;

/** Starts Python with the core in it. `speak`: see client.mjs. */
export function startCore(speak) {
  checker = new Checker(new URL("worker.mjs", import.meta.url), speak);
  checker.start();
}

export function restartCore() {
  checker.start();
}

export function isCoreReady() {
  return checker.ready;
}

/** Asks the core, and says so where that takes longer than a moment. */
let asked = 0;
export async function ask(wish) {
  asked += 1;
  const late = setTimeout(() => view.classList.toggle("sw-busy", checker.ready), 200);
  try {
    return await checker.ask(wish);
  } finally {
    clearTimeout(late);
    asked -= 1;
    if (!asked) view.classList.remove("sw-busy");
  }
}

/** What comes next in the short run. Going on asks what the last answer has asked already: that reply is kept. */
let lastWish = null;
export const supposing = (wanted, questions) => () => {
  const wish = { ...request("next", wanted, questions, today()), suppose: true };
  const text = JSON.stringify(wish);
  if (lastWish?.text !== text) lastWish = { text, reply: ask(wish) };
  return lastWish.reply;
};

/** The rule set `pack`: its `describe` reply, with screens, questions and rules as Maps by id, and names (see words.mjs). */
const described = new Map();
export async function describe(pack) {
  if (!described.has(pack)) {
    const { reply } = await ask({ format: 1, ask: "describe", ...ruleSet(pack), as_of: today() });
    if (reply.error) return { reply };
    described.set(pack, { reply, screens: new Map(reply.screens.map(({ id, title }) => [id, title])), questions: new Map(reply.questions.map((question) => [question.id, question])), rules: new Map(reply.rules.map((rule) => [rule.id, rule])), names: namesOf(reply) });
  }
  learn(described.get(pack).reply.pictures);
  return described.get(pack);
}
