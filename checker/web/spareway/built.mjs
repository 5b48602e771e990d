// What the build has put into the check page: its first screen, and what each rule set asks first.

export const start = document.getElementById("sw-start"); // taken out and put back
export const first = JSON.parse(document.getElementById("sw-first").textContent); // rule set id -> its first `next` reply

/** What the first screen calls the rule set of one of its inputs. */
export function titleOf(input) {
  return input.parentElement.querySelector(".sw-label").textContent;
}
