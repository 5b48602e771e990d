// Small pictures for questions where words are not enough. Each has a title and a twin in words.

import { el, svg } from "./dom.mjs";
import { t } from "./say.mjs";

// Line drawings of our own on a field of 240 by 120: [tag, attributes, text].
const line = (d, extra = {}) => ["path", { d, ...extra }];
const box = (x, y, width, height, extra = {}) => ["rect", { x, y, width, height, ...extra }];
const dot = (cx, cy, r = 4, extra = {}) => ["circle", { cx, cy, r, ...extra }];
const words = (x, y, text, extra = {}) => ["text", { x, y, "text-anchor": "middle", ...extra }, text];
const solid = { class: "sw-pic-solid" };

const cable = (x, y) => [dot(x, y, 9), dot(x - 4, y, 2, solid), dot(x + 4, y, 2, solid)];
const method = (x, name, shapes) => [...shapes, words(x, 112, name)];

const PICTURES = {
  rcd: [
    box(80, 8, 80, 104), dot(100, 20), dot(140, 20), dot(100, 100), dot(140, 100),
    box(104, 46, 14, 30), line("M111 46V36"), box(134, 50, 18, 18), words(143, 64, "T"),
    words(120, 92, "IΔn 0,03 A"), words(100, 38, "N"), words(60, 24, "N, L"), line("M72 20h24M72 100h24M168 20h-24M168 100h-24"),
  ],
  neutral_bar: [
    box(30, 50, 180, 20), ...[0, 1, 2, 3, 4, 5].map((n) => dot(46 + n * 30, 60, 6)), ...[0, 1, 2, 3, 4, 5].map((n) => line(`M${42 + n * 30} 60h8`)),
    line("M46 54V14M106 66v40M136 66v40M166 66v40"), words(70, 22, "RCD"), words(18, 64, "N"), words(136, 118, ""),
  ],
  device_inductive_a: [
    box(40, 14, 160, 92), words(120, 44, "16 (4) A"), words(120, 66, "250 V ~"), line("M118 48h26", { class: "sw-pic-mark" }),
    words(120, 92, "µ   T40"), dot(50, 24, 2), dot(190, 24, 2), dot(50, 96, 2), dot(190, 96, 2),
  ],
  method: [
    ...method(30, "A", [box(6, 14, 48, 78), line("M8 24l44 20M8 44l44 20M8 64l44 20M30 14"), dot(30, 54, 14, { class: "sw-pic-paper" }), ...cable(30, 54)]),
    ...method(90, "B", [line("M70 14v78M64 22l6-6M64 40l6-6M64 58l6-6M64 76l6-6"), dot(86, 54, 16), ...cable(86, 54)]),
    ...method(150, "C", [line("M136 14v78M130 22l6-6M130 40l6-6M130 58l6-6M130 76l6-6"), ...cable(146, 54)]),
    ...method(210, "E", [line("M190 14v78M184 22l6-6M184 40l6-6M184 58l6-6M184 76l6-6M190 54h10"), ...cable(218, 54)]),
  ],
};

/** A fold with the picture for a question; null where words do. */
export function pictureFor(question) {
  const shapes = PICTURES[question];
  if (!shapes) return null;
  const id = `sw-pic-${question}`;
  const drawing = svg("svg", { viewBox: "0 0 240 120", class: "sw-picture", role: "img", "aria-labelledby": id },
    svg("title", { id }, t(`picture.${question}.title`)), shapes.map(([tag, attributes, text]) => svg(tag, attributes, text)));
  return el("details", { class: "sw-fold" }, el("summary", {}, t("picture.show")), drawing, el("p", {}, t(`picture.${question}.text`)));
}
