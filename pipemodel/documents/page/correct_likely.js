// Readings that no piece can have, and slips of unit: the twin of pipemodel/correction/likely.py.
"use strict";

const SLIPS = [[10, "centimetres"], [25.4, "inches"], [100, "decimetres"], [1000, "metres"], [0.1, "ten"], [1 / 25.4, "millimetres"]];

// What is wrong with a reading of a check of a run, in mm or degrees: the name of what is said, and the figures in it;
// null for one that can be meant.
function unlikely(run, { unit, value: right, within, reads }, value) {
  const away = Math.abs(value - right);
  if (unit === "look") return null;
  if (unit === "deg") {
    if (!(value > 0 && value <= Math.max(180, right + 12))) return ["angle", { value, right }];
    if (away <= Math.max(12, 0.25 * right)) return null;
    if (Math.abs(180 - value - right) <= 4) return ["legs", { value, meant: 180 - value }];
    const factor = [10, 0.1].find((by) => Math.abs(by * value - right) <= 4);
    return factor ? ["times", { value, right, meant: factor * value }] : null;
  }
  if (reads.kind === "caliper" && value < 0) return ["round below", { value }];
  if (Math.abs(right) >= 40 && away > Math.max(25, 0.25 * Math.abs(right))) {
    const near = Math.max(8, 0.05 * Math.abs(right)), slip = SLIPS.find(([by]) => Math.abs(by * value - right) <= near);
    if (slip) return [`slip ${slip[1]}`, { value, right, meant: slip[0] * value }];
  }
  if (reads.kind === "caliper" && value > run.outside / 2) return ["round", { value }];
  const signed = reads.kind === "aside", least = signed || ["gap", "gaps"].includes(reads.kind) ? -2 * within : 0;
  if (!signed && value < least) return ["below", { value, right }];
  return Math.abs(value) > run.cut + 2 * Math.max(...run.bends.map((b) => b.radius)) + 2 * run.outside ? ["long", { value, right, long: run.cut }] : null;
}

// A length as a tape shows it: to the half millimetre, or to a sixteenth of an inch with the decimal beside it.
function taped(mm, inches) {
  if (!inches) return `${Math.floor(mm * 2 + 0.5) / 2}`;
  const short = fraction(mm, 16), decimal = (mm / 25.4).toFixed(2);
  return short === "0" && !+decimal ? short : `${short} (${decimal})`;
}

// The nearest part of an inch, such as -2 3/16.
function fraction(mm, parts) {
  let rest = Math.floor(mm / 25.4 * parts + 0.5), below = parts;
  const sign = rest < 0 ? "-" : "";
  rest = Math.abs(rest);
  const whole = Math.floor(rest / parts);
  rest -= whole * parts;
  while (rest && rest % 2 === 0) [rest, below] = [rest / 2, below / 2];
  return sign + (rest ? `${whole || ""}${whole ? " " : ""}${rest}/${below}` : `${whole}`);
}

// The words for it, in the reader's unit: `say` words a name with its figures, `point` writes a decimal as the language has it.
function unlikelySaid([name, figures], check, unit, inches, say, point) {
  const g = (x) => `${+x.toPrecision(6)}`, length = (mm) => (inches ? (mm / 25.4).toFixed(2) : g(mm));
  const angles = ["angle", "legs", "times"].includes(name), put = (key, x) => {
    if (angles) return point(key === "right" ? x.toFixed(1).replace(/\.0$/, "") : g(x));
    return `${point(["right", "long"].includes(key) ? taped(x, inches) : length(x))} ${unit}`;
  };
  return say(`unlikely ${name}`, { check, ...Object.fromEntries(Object.entries(figures).map(([key, x]) => [key, put(key, x)])) });
}
