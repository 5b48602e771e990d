// The short run: which screen comes next, what stands on it, how far it has come. Nothing is drawn or asked here.

/** One thing a person looks at, one screen; in the order in which one walks. */
export const SCREENS = ["who", "before", "load", "label", "breaker", "cable", "board"];

const ON = "on.";

/** The place in the address of a screen, and the screen of a place; null where it is none. */
export const placeOf = (screen) => ON + screen;
export const screenAt = (place) => (place?.startsWith(ON) && SCREENS.includes(place.slice(ON.length)) ? place.slice(ON.length) : null);

/**
 * A step of the run: `open`: the questions (as in a reply) that the supposed verdict still needs and nobody has answered;
 * `questions`: Map(id -> question) of all that may be shown; `settled`: as in a `next` reply.
 */
export function step(waits, questions, answers, more) {
  return { open: waits.filter((id) => !answers.has(id) && questions.has(id)).map((id) => questions.get(id)), questions, ...more };
}

/** The first screen with an open question, or null. */
export function nextScreen(open) {
  return SCREENS.find((screen) => open.some((question) => question.screen === screen)) ?? null;
}

/** What kind of thing it is decides what else there is to ask about it. */
const FIRST = ["load_kind", "device_kind"];

/** What stands on `screen`: what is open, and what was answered there, always in the same order. */
export function onScreen(screen, { open, questions }, answers) {
  const here = open.filter((question) => question.screen === screen);
  const kind = here.filter((question) => FIRST.includes(question.id));
  const ids = new Set((kind.length ? kind : here).map((question) => question.id));
  return [...questions.values()].filter((question) => question.screen === screen && (ids.has(question.id) || answers.has(question.id)));
}

/** How far the run has come when `screen` is shown (null: its end), the short verdict being the last step. */
export function progress(screen, { open, questions }, answers, about) {
  const wanted = new Set([...open, ...[...answers.keys()].map((id) => questions.get(id)).filter(Boolean)].map((question) => question.screen));
  const of = Math.max(about, wanted.size) + 1;
  if (screen === null) return { at: of, of };
  return { at: Math.min(SCREENS.filter((other) => wanted.has(other) || other === screen).indexOf(screen) + 1, of), of };
}

/** The screen before `screen` on which something was answered, or null. */
export function screenBefore(screen, questions, answers) {
  const answered = new Set([...answers.keys()].map((id) => questions.get(id)?.screen));
  const end = screen === null ? SCREENS.length : SCREENS.indexOf(screen);
  return SCREENS.slice(0, end).findLast((other) => answered.has(other)) ?? null;
}

/** What is as true of the next circuit in the same board: the person, the place, the board itself. */
export const SAME_BOARD = [
  "worker", "skilled_tester", "premises", "place", "owner_occupier", "owner_allowed", "tester", "tester_proved", "other_supply",
  "board_condition", "board_maker_accepts", "working_space", "torque_tool", "supply_system", "supply_voltage_v", "fault_current_ka",
  "external_impedance_ohm", "board_ambient_c", "board_diversity",
];
const WHOLE_BOARD = ["isolation", "lock_off"]; // of one circuit they say nothing of another

/** Of `answers` those that stay for another circuit. */
export function sameBoard(answers) {
  const kept = answers.get("isolation") === "whole-board" ? [...SAME_BOARD, ...WHOLE_BOARD] : SAME_BOARD;
  return new Map([...answers].filter(([id]) => kept.includes(id)));
}
