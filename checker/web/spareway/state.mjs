// What the person has told us so far. It lives in the address, behind the "#": a browser never sends that part to anybody,
// and reload, bookmark and the Back button work by themselves.
//
// {pack: id, id@edition or null, answers: Map(question id -> text), confirmed: [figure ids],
//  at: null | "start" | "short" | "report" | "beyond" | "worksheet" | "on." and a screen (run.mjs) | question id,
//  run: null (the short run) | "on" (the same, past a verdict that is clear already) | "every" (each question by itself),
//  plan: Map(place in the form of the schedule -> text), see plan.mjs}
// A yes or no is held as "true" or "false", a number as its decimal text.

export const EMPTY = Object.freeze({ pack: null, answers: new Map(), confirmed: [], at: null, run: null, plan: new Map() });

const ANSWER = "a.";
const PLAN = "p.";

/** The state in an address fragment, or null when the fragment is an ordinary anchor of the page. */
export function parse(fragment) {
  const text = fragment.replace(/^#/, "");
  if (text === "") return EMPTY;
  const fields = new URLSearchParams(text);
  if (!fields.has("pack")) return null;
  const below = (mark) => new Map([...fields].filter(([key]) => key.startsWith(mark)).map(([key, value]) => [key.slice(mark.length), value]));
  return {
    pack: fields.get("pack"), answers: below(ANSWER), confirmed: fields.getAll("ok"), at: fields.get("at"), run: fields.get("run"), plan: below(PLAN),
  };
}

export function format(state) {
  if (!state.pack) return "#";
  const fields = new URLSearchParams({ pack: state.pack });
  for (const [id, value] of state.answers) fields.append(ANSWER + id, value);
  for (const cell of state.confirmed) fields.append("ok", cell);
  for (const [place, value] of state.plan) fields.append(PLAN + place, value);
  if (state.at) fields.append("at", state.at);
  if (state.run) fields.append("run", state.run);
  return `#${fields}`;
}

/** The state with other answers put in; an answer changed keeps its place in the run. */
export function withAnswers(state, changed, at = null) {
  const answers = new Map(state.answers);
  for (const [id, value] of Object.entries(changed)) answers.set(id, String(value));
  return { ...state, answers, at };
}

export function without(state, id) {
  const answers = new Map(state.answers);
  answers.delete(id);
  return { ...state, answers };
}

export function at(state, place) {
  return { ...state, at: place };
}

export function confirming(state, cell) {
  return { ...state, confirmed: [...state.confirmed.filter((held) => held !== cell), cell], at: "report" };
}

export function doubting(state, cell) {
  return { ...state, confirmed: state.confirmed.filter((held) => held !== cell), at: "report" };
}

/** Where Back leads from the question `shown`: to the one answered before it, or to the choice of the rule set. */
export function before(state, shown) {
  const run = [...state.answers.keys()];
  const place = run.indexOf(shown);
  return at(state, (place === -1 ? run.at(-1) : run[place - 1]) ?? "start");
}

/** A request of format 1. `questions`: Map(id -> question), to tell a yes from a choice that is called "true". */
export function request(ask, state, questions, asOf) {
  const answers = {};
  for (const [id, value] of state.answers) answers[id] = questions.get(id)?.kind === "yes-no" ? yesNo(value) : value;
  return { format: 1, ask, ...ruleSet(state.pack), as_of: asOf, answers, confirmed: [...state.confirmed] };
}

/** A rule set as it is chosen, "gb" or "gb@2018", as the parts of a request. */
export function ruleSet(chosen) {
  const [pack, edition = null] = chosen.split("@");
  return { pack, edition };
}

function yesNo(value) {
  return value === "true" ? true : value === "false" ? false : value;
}

/** Today by the clock of this machine, as YYYY-MM-DD. */
export function today(now = new Date()) {
  const two = (number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
