// Figures as people type them. What could be read in two ways is asked again, never guessed.

import { t } from "./say.mjs";
import { unitSign } from "./words.mjs";

const SPACES = /[\s\u00a0\u2007\u202f'’]/g;
const GROUPED = /^[+-]?\d{1,3}([\s\u00a0\u2007\u202f'’]\d{3})+([.,]\d+)?$/;
const PLAIN = /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/;
const TWO_READINGS = /^[+-]?[1-9]\d{0,2}[.,]\d{3}$/;

const WITH_UNIT = /^([+-]?[\d.,\s\u00a0\u2007\u202f'’]*\d[.,]?)[\s\u00a0\u2007\u202f]*([^\d.,\s+-].*)$/;

/** Units a plate or a meter may have instead of the one that is asked for: by how many places the point moves. */
const OTHER_UNITS = {
  W: { kw: 3 }, VA: { kva: 3 }, kW: { w: -3 }, A: { ka: 3, ma: -3, amp: 0, amps: 0 }, kA: { a: -3 }, mA: { a: 3 },
  V: { kv: 3 }, mm: { cm: 1, m: 3 }, m: { cm: -2, km: 3 }, mm2: { "mm²": 0, sqmm: 0 }, ohm: { ohms: 0 }, h: { hours: 0, hour: 0 }, C: { "°": 0 },
  percent: { "%": 0 }, modules: { module: 0 },
};

/**
 * The decimal text of a typed figure as `{value: "13.5"}`, or `{error: sentence}`.
 * `minimum` and `maximum` are decimal texts or null, both inclusive; `unit` is the id of the unit asked for.
 */
export function readNumber(typed, { minimum = null, maximum = null, unit: id = "" } = {}) {
  const unit = unitSign(id);
  let text = typed.trim().replace(/^[\u2212\u2013]/, "-");
  if (text === "") return { error: t("number.empty") };
  const told = WITH_UNIT.exec(text);
  const places = told ? placesOf(told[2], id) : 0;
  if (told && places !== null) text = told[1].trim();
  if (!PLAIN.test(text) && !GROUPED.test(text)) {
    const where = unit ? ` ${t("number.unit", { unit })}` : "";
    return { error: `${t("number.wrong", { typed: typed.trim() })}${where}` };
  }
  if (TWO_READINGS.test(text)) {
    const [whole, part] = text.split(/[.,]/);
    return { error: t("number.two-ways", { typed: text, large: `${whole}${part}`, small: `${whole}.${part}0` }) };
  }
  const value = moved(canonical(text.replace(SPACES, "").replace(",", ".")), places);
  if (outside(value, minimum, maximum)) return { error: `${rangeText(minimum, maximum, unit)} ${t("number.outside", { value })}` };
  return { value };
}

/** By how many places the point of a figure in the typed unit moves; null for a unit that does not belong here. */
function placesOf(typed, id) {
  const word = typed.replace(/\s/g, "").toLowerCase();
  if ([id, unitSign(id)].some((own) => own && own.toLowerCase() === word)) return 0;
  return OTHER_UNITS[id]?.[word] ?? null;
}

/** A decimal text with its point moved, exactly. */
function moved(value, places) {
  if (places === 0) return value;
  const sign = value.startsWith("-") ? "-" : "";
  const [whole, part = ""] = value.replace("-", "").split(".");
  const digits = "0".repeat(Math.max(0, -places)) + whole + part + "0".repeat(Math.max(0, places - part.length));
  const point = Math.max(0, -places) + whole.length + places;
  return canonical(`${sign}${digits.slice(0, point)}.${digits.slice(point).replace(/0+$/, "")}`);
}

/** "From 1 to 125 A.", or what there is of it. */
export function rangeText(minimum, maximum, unit) {
  const signed = (value) => (unit ? `${value} ${unit}` : value);
  if (minimum !== null && maximum !== null) return t("number.between", { minimum, maximum: signed(maximum) });
  if (minimum !== null) return t("number.at-least", { minimum: signed(minimum) });
  return maximum !== null ? t("number.at-most", { maximum: signed(maximum) }) : "";
}

function canonical(text) {
  const sign = text.startsWith("-") ? "-" : "";
  const [whole, part = ""] = text.replace(/^[+-]/, "").split(".");
  const digits = whole.replace(/^0+(?=\d)/, "") || "0";
  return `${sign}${digits}${part ? `.${part}` : ""}`;
}

// Rounding to a binary number could only matter at the very edge of a range, where the core, which is exact, looks again.
function outside(value, minimum, maximum) {
  return (minimum !== null && Number(value) < Number(minimum)) || (maximum !== null && Number(value) > Number(maximum));
}
