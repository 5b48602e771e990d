// The job sheet, shown and printed from the report. It brings its own style sheet, so that any page may mount it.

import { el } from "./dom.mjs";
import { rulesLanguage, t } from "./say.mjs";
import { read } from "./trusted.mjs";

const PRINTING = "sw-printing-sheet"; // on the root element: paper then holds the sheet alone

/**
 * A button that asks for the sheet, and the section in which it is then shown and printed: `{show, place}`. `ask`: () => Promise of `{text, reply}`, the
 * core's answer to the request `"ask": "sheet"`. `leadTo`: question id => address of that question, for an answer that only
 * the list of wires waits for.
 */
export function sheetSection(ask, leadTo) {
  const place = el("div", { class: "sw-sheet-place" });
  const note = el("p", { class: "sw-hint", role: "status" });
  const print = button(t("sheet.print"), () => printSheet(), { hidden: true });
  const save = button(t("sheet.save"), () => saved && download(saved), { hidden: true });
  const length = button(t("sheet.long"), () => draw(!long), { hidden: true, "aria-pressed": "false" });
  const show = button(t("sheet.show"), () => open(), { "aria-expanded": "false" });
  const holder = el("section", { class: "sw-section sw-sheet-section", hidden: true }, el("h2", {}, t("sheet.title")),
    el("p", { class: "sw-buttons sw-screen" }, print, length, save), note, place);
  let saved = null;
  let held = null;
  let long = false;

  /** Draws the sheet, two sides of paper or the long form, and goes to its heading. */
  function draw(whole) {
    long = whole;
    length.setAttribute("aria-pressed", String(long));
    place.replaceChildren(...held.needs.map((id) => el("p", { class: "sw-screen" },
      el("a", { class: "md-button sw-small", href: leadTo(id) }, t("sheet.answer"), el("span", { class: "sw-hidden" }, ` ${id}`)))), sheetView(held, long));
  }

  async function open() {
    if (place.hasChildNodes()) {
      close();
      return;
    }
    holder.hidden = false;
    note.textContent = t("sheet.drawing");
    show.disabled = true;
    const { text, reply } = await ask();
    show.disabled = false;
    if (reply.error) {
      note.textContent = `${reply.error.what} ${reply.error.fix}`;
      return;
    }
    note.textContent = "";
    saved = text;
    held = reply;
    draw(false);
    swap(t("sheet.hide"), false);
    place.querySelector(".sw-sheet-title").focus();
  }

  function close() {
    place.replaceChildren();
    holder.hidden = true;
    swap(t("sheet.show"), true);
  }

  function swap(label, hidden) {
    show.textContent = label;
    show.setAttribute("aria-expanded", String(!hidden));
    print.hidden = save.hidden = length.hidden = hidden;
  }

  // The button stands where the page wants it; nothing else takes room until the sheet is shown.
  return { show, place: holder };
}

function button(label, click, props = {}) {
  return el("button", { type: "button", class: "md-button sw-small", on: { click }, ...props }, label);
}

/** The sheet as an element, in the short form or the long; the same content as the command line's. */
export function sheetView(sheet, long) {
  return el("article", { class: `sw-sheet sw-sheet-${sheet.kind} ${long ? "" : "sw-sheet-short"}`, lang: rulesLanguage() },
    el("header", { class: "sw-sheet-head" },
      el("h2", { class: "sw-sheet-title", tabindex: "-1" }, sheet.title),
      el("p", {}, el("strong", {}, sheet.headline_text)), el("p", {}, sheet.lead),
      sheet.notice ? el("p", {}, el("strong", {}, sheet.notice)) : null),
    (long ? sheet.sections : sheet.short).map((section) => el("section", { class: `sw-sheet-part-${section.id} ${section.page ? "sw-sheet-page" : ""}` },
      el("h3", {}, section.title), section.blocks.flatMap(block))));
}

function block(held) {
  const label = held.label && held.kind !== "drawing" ? el("h4", {}, held.label) : null;
  return [label, BLOCKS[held.kind](held)].filter(Boolean);
}

const BLOCKS = {
  text: ({ text }) => el("p", {}, text),
  list: ({ items, numbered, boxes }) => el(numbered ? "ol" : "ul", { class: boxes ? "sw-sheet-boxes" : "" }, items.map((item) => el("li", {}, item))),
  table: ({ head, rows }) => el("table", { class: head.length > 3 ? "sw-sheet-table sw-sheet-stack" : "sw-sheet-table" },
    el("thead", {}, el("tr", {}, head.map((label) => el("th", { scope: "col" }, label)))),
    el("tbody", {}, rows.map((row) => el("tr", { class: row.includes("") ? "sw-sheet-room" : "" },
      row.map((cell, place) => el("td", { "data-label": head[place] }, cell)))))),
  facts: ({ rows }) => el("dl", { class: "sw-sheet-facts" }, rows.map(([name, value]) => el("div", {}, el("dt", {}, name), el("dd", {}, value)))),
  drawing: ({ label, svg, text, text_label: twin }) => el("div", {},
    el("figure", { class: "sw-sheet-drawing" }, el("figcaption", {}, label), document.importNode(read(svg), true)),
    el("details", { class: "sw-fold" }, el("summary", {}, twin), el("ul", {}, text.map((line) => el("li", {}, line))))),
  code: ({ text }) => el("pre", { tabindex: "0" }, text),
};

function printSheet() {
  const root = document.documentElement;
  root.classList.add(PRINTING);
  window.addEventListener("afterprint", () => root.classList.remove(PRINTING), { once: true });
  window.print();
}

function download(text) {
  const address = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  el("a", { href: address, download: "spareway-sheet.json" }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
