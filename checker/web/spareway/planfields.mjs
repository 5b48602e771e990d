// The fields of the schedule's form: times of the clock or by the sun, and what is wrong said at the field.

import { el } from "./dom.mjs";
import { t } from "./say.mjs";

/** Says at a field what is wrong and goes there. False where the form has no such field. */
export function refuse(form, id, sentence) {
  let control = form.querySelector(`#${CSS.escape(id)}`);
  // A moment by the sun shows its minutes in place of the time.
  if (control?.parentElement.hidden) control = form.querySelector(`#${CSS.escape(`${id}-by`)}`);
  if (!control) return false;
  const error = el("span", { class: "sw-error", id: `${id}-error`, role: "alert" }, sentence);
  control.parentElement.querySelector(":scope > .sw-error")?.remove();
  control.after(error);
  control.setAttribute("aria-invalid", "true");
  control.setAttribute("aria-describedby", [`${id}-error`, control.dataset.hint].filter(Boolean).join(" "));
  lead(form, control.id);
  return true;
}

/** Takes away what `refuse` said. */
export function clearErrors(form) {
  for (const error of form.querySelectorAll(".sw-error")) error.remove();
  for (const control of form.querySelectorAll("[aria-invalid]")) {
    control.removeAttribute("aria-invalid");
    if (control.dataset.hint) control.setAttribute("aria-describedby", control.dataset.hint);
    else control.removeAttribute("aria-describedby");
  }
}

/** Goes to a field, and opens what it is folded into. */
export function lead(form, id) {
  const control = form.querySelector(`#${CSS.escape(id)}`);
  for (let around = control; around !== form; around = around.parentElement) if (around.localName === "details") around.open = true;
  control.focus({ preventScroll: true });
  control.scrollIntoView({ block: "center" });
}

/** A time that follows the sun, as the core writes it. */
export const SUN = /^(sunrise|sunset|dawn|dusk)(?:([+-])(\d{1,2}):(\d\d))?$/;
const KINDS = ["clock", "sunrise", "sunset", "dawn", "dusk"];

/** A moment of the day: a time of the clock, or so many minutes from an event of the sun. Held as the core writes it. */
export function momentField(label, id, value, keep) {
  const [, event = "clock", sign, hours = 0, minutes = 0] = SUN.exec(value) ?? [];
  const clock = clockInput(id, event === "clock" ? value : "", take);
  const offset = el("input", { id: `${id}-by`, class: "sw-input", type: "number", step: "5", min: "-180", max: "180", value: String((sign === "-" ? -1 : 1) * (60 * hours + Number(minutes))), on: { input: take } });
  const kind = select(`${id}-kind`, KINDS.map((name) => [name, t(`moment.${name}`)]), event, draw);
  const byClock = el("div", {}, el("label", { for: id }, label), clock);
  const bySun = el("div", {}, el("label", { for: `${id}-by` }, t("plan.by", { what: label })), offset);
  show();
  return el("div", { class: "sw-plan-question" }, el("label", { for: `${id}-kind` }, t("plan.kind", { what: label })), kind, byClock, bySun);

  function show() {
    byClock.hidden = kind.value !== "clock";
    bySun.hidden = kind.value === "clock";
  }
  function draw() {
    show();
    take();
  }
  function take() {
    const by = Math.round(Number(offset.value) || 0);
    const two = (number) => String(number).padStart(2, "0");
    const away = by ? `${by < 0 ? "-" : "+"}${two(Math.floor(Math.abs(by) / 60))}:${two(Math.abs(by) % 60)}` : "";
    keep(kind.value === "clock" ? clock.value : `${kind.value}${away}`);
  }
}

function clockInput(id, value, take) {
  const input = el("input", { id, class: "sw-input", type: "time", value: value === "24:00" ? "00:00" : value, on: { input: () => take(input.value) } });
  return input;
}

/** A time of the clock. */
export function clockField(label, id, value, keep, help) {
  const input = clockInput(id, value, keep);
  return labelled(label, id, input, help);
}

/** A field to type in. `mode`: which keys a telephone shows; those of "decimal" lack the minus. */
export function field(label, id, value, keep, help, mode = "text") {
  const input = el("input", {
    id, class: "sw-input", type: "text", inputmode: mode, value, autocomplete: "off", spellcheck: "false",
    on: { input: () => keep(mode === "decimal" ? input.value.trim().replace(",", ".") : input.value.trim()) },
  });
  return labelled(label, id, input, help);
}

/** A control under its label, with a hint below it. */
export function labelled(label, id, control, help, ...more) {
  if (help) {
    control.dataset.hint = `${id}-hint`;
    control.setAttribute("aria-describedby", `${id}-hint`);
  }
  return el("div", { class: "sw-plan-question" }, el("label", { for: id }, label), control, help ? el("span", { class: "sw-hint", id: `${id}-hint` }, help) : null, ...more);
}

/** A list to choose from: `choices` as [value, label]. */
export function select(id, choices, chosen, keep) {
  const box = el("select", { id, class: "sw-input", on: { change: () => keep(box.value) } }, choices.map(([value, label]) => el(
    "option", { value, selected: value === chosen }, label)));
  return box;
}
