// The words the page itself uses. Everything about the trade comes from the rules.

export const HEADLINES = {
  stop: { word: "Stop", shape: "stop" },
  call: { word: "Call", shape: "call" },
  change: { word: "Change", shape: "change" },
  "find-out": { word: "Find out", shape: "find-out" },
  fits: { word: "Fits on paper", shape: "fits" },
};

export const WHO = {
  stop: { word: "Nobody yet", shape: "stop" },
  "licensed-only": { word: "Reserved", shape: "call" },
  supervised: { word: "Under supervision", shape: "find-out" },
  permitted: { word: "The person named", shape: "fits" },
};

export const OUTCOMES = {
  failed: { word: "Failed", shape: "stop" },
  "cannot-tell": { word: "Cannot tell", shape: "find-out" },
  passed: { word: "Passed", shape: "fits" },
  "not-applicable": { word: "Does not apply", shape: "none" },
};

/** What a rule asks of its two sides. */
export const RELATIONS = { "<": "less than", "<=": "at most", ">": "more than", ">=": "at least", "==": "equal to", "!=": "other than" };

export const WEIGHTS = { law: "law", standard: "standard", practice: "trade practice", advice: "advice" };

const STATUSES = {
  opened: "read in the document itself",
  "two-sources": "found in two sources",
  derived: "computed from a stated formula",
  "one-source": "found in one source: confirm in your copy",
  "cross-checked": "written down twice from memory, both agree: confirm in your copy",
  practice: "common practice, no source: confirm in your copy",
  memory: "from memory: look it up in your copy",
  conflict: "sources disagree",
};

export function statusText(status) {
  return STATUSES[status] ?? status;
}

const UNITS = {
  A: ["A", "amperes"], V: ["V", "volts"], W: ["W", "watts"], kW: ["kW", "kilowatts"], kWh: ["kWh", "kilowatt hours"],
  kA: ["kA", "kiloamperes"], mA: ["mA", "milliamperes"], mm2: ["mm²", "square millimetres"], mm: ["mm", "millimetres"],
  m: ["m", "metres"], ohm: ["Ω", "ohms"], Mohm: ["MΩ", "megohms"], Nm: ["N·m", "newton metres"], ms: ["ms", "milliseconds"], s: ["s", "seconds"], percent: ["%", "per cent"], C: ["°C", "degrees Celsius"], h: ["h", "hours"],
  uF: ["µF", "microfarads"], min: ["min", "minutes"], deg: ["°", "degrees"], m3: ["m³", "cubic metres"], "m3/h": ["m³/h", "cubic metres an hour"], l: ["l", "litres"], modules: ["modules", "modules"], hp: ["hp", "horsepower"], "mV/A/m": ["mV/A/m", "millivolts per ampere and metre"], ft: ["ft", "feet"], in3: ["in³", "cubic inches"], 1: ["", ""], "": ["", ""],
};

export function unitSign(unit) {
  return (UNITS[unit ?? ""] ?? [unit])[0];
}

export function unitSpoken(unit) {
  return (UNITS[unit ?? ""] ?? [unit, unit])[1];
}

export function withUnit(value, unit) {
  const sign = unitSign(unit);
  return sign ? `${value}\u00a0${sign}` : String(value);
}

export const DONT_KNOW = "dont-know";
export const NOT_STATED = "not-stated";

/** An answer as a person reads it. `question` may be missing: then the bare value is shown. */
export function answerText(question, value) {
  if (value === DONT_KNOW) return "I don’t know";
  if (value === NOT_STATED) return "The label does not say";
  if (question?.kind === "number") return withUnit(value, question.unit);
  return choicesOf(question).find((choice) => choice.value === String(value))?.label ?? String(value);
}

/** The answers to choose from; a yes-or-no question has two. */
export function choicesOf(question) {
  if (question?.kind !== "yes-no") return question?.choices ?? [];
  return [{ value: "true", label: "Yes", help: "" }, { value: "false", label: "No", help: "" }];
}

/** What a question, a figure or a quantity is called. `names`: Map(id -> title), as `namesOf` gives it. */
export function nameText(name, names) {
  const known = (word) => names.get(word) ?? QUANTITIES[word] ?? word.replaceAll("_", " ");
  // A side of a comparison may be computed on the spot: then it is the names in it that have words.
  return name.replace(/\*/g, "\u00d7").replace(/[a-z][a-z0-9_]*/g, known);
}

/** The titles that a rule set (`describe` reply) gives to its questions and single figures. */
export function namesOf({ questions, parameters }) {
  return new Map([...questions.map(({ id, text }) => [id, text]), ...parameters.map(({ id, title }) => [id, title])]);
}

const QUANTITIES = {
  design_current_a: "Current the load takes",
  sizing_current_a: "Current to size for",
  lamp_load_w: "Lamps together",
  contact_rating: "Figure of the label that serves this load",
  device_limit_a: "Current the contact may switch",
  device_limit_w: "Lamp load the contact may switch",
  device_thermal_a: "Current the contact may carry",
  weakest_device_a: "Plain figure of the weakest device in the circuit",
  cable_size_mm2: "Cable size",
  link_size_mm2: "Link wire size",
  cable_tabulated_a: "Current of the cable by the table",
  cable_most_a: "The most seen for such a cable",
  ambient_factor: "Factor for heat around the cable",
  grouping_factor: "Factor for cables together",
  cable_factor: "All factors of the cable together",
  cable_capacity_a: "Current the cable may carry",
  link_capacity_a: "Current the link wires may carry",
  practice_minimum_mm2: "Smallest cable the trade uses behind this breaker",
  smallest_cable: "Smallest cable that would do",
  smallest_link: "Smallest link wires that would do",
  breaker_minimum_a: "Smallest breaker that carries the load",
  breaker_maximum_a: "Largest breaker the circuit allows",
  modules_needed: "Width needed on the rail",
  modules_with_gap: "Width with the gap beside a contactor",
  breaker_warm_a: "What the breaker carries in the warm board",
  board_share_a: "Share of the current the board is made for",
  contactor_warm_a: "What the contactor carries in the warm board",
  hot_resistance_factor: "Rise of resistance from cold to hot",
  voltage_drop_v: "Voltage lost in the cable",
  voltage_drop_percent: "Voltage lost in the cable, share",
  total_drop_percent: "Voltage lost in all, share",
  drop_limit_percent: "Voltage that may be lost, share",
  drop_left_v: "Voltage still to be lost",
  longest_run_m: "Longest cable by voltage drop",
  insulation_factor: "Factor for thermal insulation",
  harmonic_factor: "Factor for harmonics",
  link_factor: "Factor for heat around the board",
  conventional_trip_a: "Current that surely trips within the hour",
  overload_limit_a: "1.45 times what the cable may carry",
  cable_needed_a: "What the cable has to carry",
  category_use: "What the contactor's category is for",
  category_limit_a: "Highest current of the category",
  contact_voltage_v: "Lowest voltage of the contacts",
  clock_rated_v: "Voltage of the clock",
  protective_size_mm2: "Earth wire size",
  expected_r1_r2_ohm: "Resistance there and back, cold",
  loop_impedance_ohm: "Earth fault loop",
  disconnection_limit_s: "Time a fault may last",
  loop_trip_a: "Fault current that counts as opening the breaker",
  loop_limit_ohm: "Largest earth fault loop",
  longest_fault_run_m: "Longest cable by fault protection",
  fault_current_a: "Current of an earth fault at the load",
  electrode_limit_ohm: "Largest resistance of the earth electrode",
  protective_table_mm2: "Earth wire by the table",
  protective_usual_mm2: "Earth wire this cable comes with",
  notification: "Whether the authority is told first",
  near_fault_a: "Current of a fault at the board",
  protective_adiabatic_mm2: "Earth wire by the heat of a fault",
  protective_limited_mm2: "Earth wire by what the breaker lets through",
  protective_minimum_mm2: "Smallest earth wire",
  duty: "How long it runs",
  circuit_current_a: "Current of the whole circuit",
  running_current_a: "Current while running",
  switched_current_a: "Current the contact switches",
  upper_voltage_current_a: "Current at the upper supply voltage",
  rcd_type_needed: "RCD type this load needs",
  rcd_test_ma: "Residual current to test with",
  rcd_trip_ms: "Longest trip time",
  rcd_trip_five_ms: "Longest trip time at five times",
  rcd_trip_selective_ms: "Longest trip time, type S",
  rcd_hold_selective_ms: "Shortest trip time, type S",
  starting_current_a: "Current at the start",
  breaker_holds_a: "Surge the breaker surely holds",
  breaker_trips_a: "Surge that surely trips the breaker",
  drivers_allowed: "LED drivers this breaker starts",
  screw_torque_nm: "Torque by the screw",
  ferrule_colour: "Colour of the ferrule",
  breaker_terminal_min_mm2: "Thinnest wire for the breaker's terminal",
  breaker_terminal_max_mm2: "Thickest wire for the breaker's terminal",
  starts_allowed: "Starts the motor stands in an hour",
  heating_energy_kwh: "Energy to heat the tank",
  heating_hours: "Time to heat the tank",
  earth_continuity_limited: "Earth wire limited by the breaker",
  earth_continuity_ohm: "Earth wire, end to end, cold",
  earth_continuity_limit_ohm: "Largest resistance of the earth wire",
  measured_loop_limit_ohm: "Largest loop to measure, cold",
};
