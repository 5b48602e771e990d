// Figures as people type them. What could be read in two ways is asked again, never guessed.

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
  if (text === "") return { error: "Write a figure, or choose one of the other answers." };
  if (!PLAIN.test(text) && !GROUPED.test(text)) {
    const where = unit ? ` The unit is ${unit} and is already there.` : "";
    return { error: `“${typed.trim()}” is not a figure. Use digits, with one comma or point at most.${where}` };
  }
  if (TWO_READINGS.test(text)) {
    const [whole, part] = text.split(/[.,]/);
    return { error: `“${text}” can be read in two ways. Write ${whole}${part} for the large number, or ${whole}.${part}0 for the small one.` };
  }
  const value = canonical(text.replace(SPACES, "").replace(",", "."));
  if (outside(value, minimum, maximum)) return { error: `${rangeText(minimum, maximum, unit)} You wrote ${value}.` };
  return { value };
}

/** "From 1 to 125 A.", or what there is of it. */
export function rangeText(minimum, maximum, unit) {
  const sign = unit ? ` ${unit}` : "";
  if (minimum !== null && maximum !== null) return `From ${minimum} to ${maximum}${sign}.`;
  if (minimum !== null) return `At least ${minimum}${sign}.`;
  return maximum !== null ? `At most ${maximum}${sign}.` : "";
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
