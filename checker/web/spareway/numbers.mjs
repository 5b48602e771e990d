// Figures as people type them. What could be read in two ways is asked again, never guessed.

import { t } from "./say.mjs";

const SPACES = /[\s\u00a0\u2007\u202f'’]/g;
const GROUPED = /^[+-]?\d{1,3}([\s\u00a0\u2007\u202f'’]\d{3})+([.,]\d+)?$/;
const PLAIN = /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/;
const TWO_READINGS = /^[+-]?[1-9]\d{0,2}[.,]\d{3}$/;

/**
 * The decimal text of a typed figure as `{value: "13.5"}`, or `{error: sentence}`.
 * `minimum` and `maximum` are decimal texts or null, both inclusive; `unit` is the sign shown beside the field.
 */
export function readNumber(typed, { minimum = null, maximum = null, unit = "" } = {}) {
  const text = typed.trim().replace(/^[\u2212\u2013]/, "-");
  if (text === "") return { error: t("number.empty") };
  if (!PLAIN.test(text) && !GROUPED.test(text)) {
    const where = unit ? ` ${t("number.unit", { unit })}` : "";
    return { error: `${t("number.wrong", { typed: typed.trim() })}${where}` };
  }
  if (TWO_READINGS.test(text)) {
    const [whole, part] = text.split(/[.,]/);
    return { error: t("number.two-ways", { typed: text, large: `${whole}${part}`, small: `${whole}.${part}0` }) };
  }
  const value = canonical(text.replace(SPACES, "").replace(",", "."));
  if (outside(value, minimum, maximum)) return { error: `${rangeText(minimum, maximum, unit)} ${t("number.outside", { value })}` };
  return { value };
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
