// One thing in the hand, one screen: all open questions about it under one heading.

import { el } from "./dom.mjs";
import { fieldView } from "./field.mjs";
import { pictureView } from "./pictures.mjs";
import { rulesLanguage, t } from "./say.mjs";

/**
 * The screen. `questions`: what stands on it; `answers`: Map of what is held; `back`: address of the step before;
 * `pictures`: drawings, as in a `describe` reply; `put(id, value)` holds an answer and promises the questions that stand here now and whether one
 * of them is open, or null where the screen was left meanwhile; `leave()` goes on; `beside`: what a wide screen shows beside it.
 */
export function screenView({ screen, title, questions, answers, back, place, pictures, put, leave, above, beside }) {
  const list = el("div", { class: "sw-asks" });
  const fields = new Map();
  const where = el("span", { class: "sw-place" });
  const bar = el("progress", { class: "sw-progress", "aria-hidden": "true" });
  const notice = el("div", {});
  const drawings = el("div", { class: "sw-drawings" });
  let drawn = "";
  const aside = el("aside", { class: "sw-beside", "aria-label": t("run.beside") });
  let last = Promise.resolve();

  /** Draws what stands here now; what stays keeps its node, and with it the focus. */
  function draw(now, held) {
    const nodes = now.map((question) => {
      if (!fields.has(question.id)) fields.set(question.id, fieldView(question, held.get(question.id), (...answer) => answered(question.id, ...answer)));
      fields.get(question.id).hold(held.get(question.id));
      return fields.get(question.id).element;
    });
    for (const [id, field] of fields) if (!nodes.includes(field.element)) fields.delete(id);
    for (const node of [...list.children]) if (!nodes.includes(node)) node.remove();
    nodes.forEach((node, index) => list.children[index] === node || list.insertBefore(node, list.children[index] ?? null));
  }

  function answered(id, value, error, tapped) {
    const field = fields.get(id);
    if (error) {
      field.complain(error);
      return;
    }
    field.complain(null);
    if (field.value() === value) return;
    const open = field.value() === undefined;
    const rest = [...fields.values()].every((other) => other === field || other.value() !== undefined);
    field.hold(value);
    list.setAttribute("aria-busy", "true"); // until what this answer changes is drawn
    const mine = (last = put(id, value).then((now) => {
      if (last === mine) list.removeAttribute("aria-busy");
      // The last open question of the screen, answered by a tap: there is nothing to continue from.
      if (now && !now.open && rest && open && tapped) goOn();
      return now;
    }));
  }

  let gone = false;
  function goOn() {
    if (gone) return;
    gone = true;
    list.setAttribute("aria-busy", "true");
    leave();
  }

  async function next(event) {
    event.preventDefault();
    let wrong = null;
    for (const field of fields.values()) {
      const { value, error } = field.read();
      const said = error ?? (value === undefined ? t(field.element.dataset.kind === "number" ? "number.empty" : "question.choose") : null);
      field.complain(said);
      if (said) wrong ??= field;
      else if (field.value() !== value) last = put(field.id, value);
    }
    if (wrong) {
      wrong.focus();
      return;
    }
    const before = new Set(fields.keys());
    const now = await last;
    const fresh = [...fields.values()].find((field) => !before.has(field.id));
    if (fresh) fresh.heading.focus();
    else if (now !== null) goOn();
  }

  const element = el(
    "form", { class: "sw-step sw-run", novalidate: true, autocomplete: "off", "data-screen": screen, on: { submit: next } },
    el(
      "div", { class: "sw-run-main" },
      el("p", { class: "sw-way" }, el("a", { href: back, class: "sw-back" }, t("page.back")), where),
      bar,
      notice,
      el("h1", { id: "sw-title", tabindex: "-1", lang: rulesLanguage() }, title),
      drawings,
      list,
      el("p", { class: "sw-buttons" }, el("button", { type: "submit", class: "md-button md-button--primary" }, t("run.next"))),
    ),
    aside,
  );
  const view = {
    element,
    update({ questions: now, place: { at, of }, above: noticed, beside: besides, pictures: seen }, held) {
      draw(now, held);
      // A spot is marked where its field stands: with other fields the drawings are made anew.
      const wanted = now.map((question) => question.id).join(" ");
      if (wanted !== drawn) drawings.replaceChildren(...seen.map((picture) => pictureView(picture.svg)));
      drawn = wanted;
      where.textContent = t("run.place", { at, of });
      bar.max = of;
      bar.value = at;
      notice.replaceChildren(...[noticed].filter(Boolean));
      aside.replaceChildren(...besides.filter(Boolean));
    },
  };
  view.update({ questions, place, above, beside, pictures }, answers);
  return view;
}
