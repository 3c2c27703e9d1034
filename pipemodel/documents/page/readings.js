// What was read after each pull: a number in each field, a tick where something is looked at. It stays on this device as
// the ticks do. After every change the pull's step sends out `readings`, with all that was read on its run so far.
"use strict";

const MM_PER_INCH = 25.4, OTHER = { left: "right", right: "left", same: "opposite", opposite: "same" };

class Readings {
  // `changed` is called with the step whose readings changed.
  constructor(changed) { this.changed = changed; }

  load(kept, data, steps) {
    this.kept = kept;
    this.inches = data.unit === "in";
    this.comma = data.language === "de";
    this.answers = data.answers;
    this.of = new Map();
    for (const step of steps) {
      const fields = [...step.querySelectorAll("[data-check]")].map((input) => this.field(input, step, data));
      this.of.set(step, fields);
      step.querySelector(".clear")?.addEventListener("click", () => this.clear(step));
      this.show(step);
    }
  }

  field(input, step, data) {
    const pull = data.pieces[+step.dataset.piece].pulls.find((p) => p.number === +input.dataset.pull);
    const check = pull.checks.find((c) => c.id === input.dataset.check), item = input.closest(".check");
    const run = data.answers.pieces[+step.dataset.piece], own = run.pulls.find((p) => p.checks.some((c) => c.id === check.id)).checks.find((c) => c.id === check.id);
    const field = { input, check, run, own, pull: pull.number, off: item.querySelector("output"), not: item.querySelector(".not"), side: item.querySelector(".side"), key: `${step.dataset.piece}/${data.unit}/${check.id}` };
    this.put(field, this.kept.get(field.key));
    this.putSide(field, this.kept.get(`${field.key}/side`));
    for (const button of this.sidesOf(field)) button.addEventListener("click", () => {
      this.putSide(field, button.getAttribute("aria-pressed") === "true" ? "" : button.dataset.side);
      this.tell(step);
    });
    const heard = () => { this.kept.set(field.key, this.text(field)); this.tell(step); };
    input.addEventListener("change", () => { if (input.checked) field.not?.setAttribute("aria-pressed", false); heard(); });
    field.not?.addEventListener("click", () => { this.put(field, field.not.getAttribute("aria-pressed") === "true" ? "" : "no"); heard(); });
    return field;
  }

  // A field as the text that is kept: what was typed, or yes or no.
  text({ input, not }) {
    if (!not) return input.value.trim();
    return input.checked ? "yes" : not.getAttribute("aria-pressed") === "true" ? "no" : "";
  }

  put({ input, not }, text) {
    if (!not) { input.value = text; return; }
    input.checked = text === "yes";
    not.setAttribute("aria-pressed", text === "no");
  }

  // The buttons for the side that what was read stands off to; and the one that is pressed: 1 left, -1 right, 0 no one can tell, null none.
  sidesOf({ side }) { return [...side?.querySelectorAll("button") ?? []]; }

  putSide(field, to) {
    for (const button of this.sidesOf(field)) button.setAttribute("aria-pressed", button.dataset.side === to);
    if (field.side) this.kept.set(`${field.key}/side`, to ?? "");
  }

  sideOf(field) {
    const pressed = this.mayBeAside(field) && this.sidesOf(field).find((b) => b.getAttribute("aria-pressed") === "true");
    return pressed ? +pressed.dataset.side : null;
  }

  // Whether it stands off so far that it is seen to which side.
  mayBeAside(field) { return !!field.side && this.value(field) > field.own.within && !this.unlikely(field); }

  // What was read, in mm or degrees, or in the word of what is looked at; null where nothing is, NaN where it is no number.
  value(field) {
    const text = this.text(field), { unit, value } = field.check;
    if (!text) return null;
    if (unit === "look") return text === "yes" ? value : OTHER[value];
    return numberIn(text) * (unit === "mm" && this.inches ? MM_PER_INCH : 1);
  }

  open(step) { return this.openOf(step).length; }

  firstOpen(step) { return this.openOf(step)[0].input; }

  openOf(step) { return this.of.get(step).filter((f) => this.value(f) === null || Number.isNaN(this.value(f)) || this.unlikely(f)); }

  // What is wrong with a number that cannot be meant, in words; "" for one that can.
  unlikely(field) {
    const wrong = field.not ? null : unlikely(field.run, field.own, this.value(field)), { words, unit } = this.answers;
    const say = (name, values) => words[name].replace(/\{(\w+)\}/g, (_, key) => values[key]);
    return wrong ? unlikelySaid(wrong, field.check.id, unit, this.inches, say, (text) => (this.comma ? text.replace(".", ",") : text)) : "";
  }

  tell(step) {
    this.show(step);
    this.changed(step);
    step.dispatchEvent(new CustomEvent("readings", { bubbles: true, detail: this.detail(step) }));
  }

  // All that was read on the piece of a step, by the name of the check, and after which pull last.
  detail(step) {
    const piece = step.dataset.piece, readings = {}, sides = {};
    let after = 0;
    for (const [other, fields] of this.of) for (const field of other.dataset.piece === piece ? fields : []) {
      const value = this.value(field);
      if (value === null || Number.isNaN(value)) continue;
      readings[field.check.id] = value;
      if (this.sideOf(field) !== null) sides[field.check.id] = this.sideOf(field);
      after = Math.max(after, field.pull);
    }
    const { run, pull } = step.querySelector("[data-check]").dataset;
    return { run, piece: +piece, pull: +pull, after, readings, sides };
  }

  show(step) {
    const fields = this.of.get(step);
    for (const field of fields) {
      const said = this.said(field);
      field.off.textContent = said.text;
      field.off.className = said.wrong ? "fail" : "pass";
      field.input.setAttribute("aria-invalid", said.wrong);
      if (field.side) field.side.hidden = !this.mayBeAside(field);
    }
    const clear = step.querySelector(".clear");
    if (clear) clear.hidden = fields.every((f) => !this.text(f));
  }

  // What is to be said beside a field: nothing, that it is right, or by how much it is off.
  said(field) {
    const value = this.value(field), { own } = field, { unit, value: wanted, shows } = field.check;
    if (value === null) return { text: "", wrong: false };
    if (unit === "look") return value === wanted ? { text: "✓", wrong: false } : { text: `«page.off»`, wrong: true };
    if (Number.isNaN(value)) return { text: `«page.a number»`, wrong: true };
    const wrong = this.unlikely(field);
    if (wrong) return { text: `✕ ${wrong[0].toUpperCase()}${wrong.slice(1)}`, wrong: true };
    const by = this.length(Math.abs(value - (own.reads.kind === "caliper" ? shows : wanted)), unit), more = value > wanted;
    if (Math.abs(value - wanted) <= shows) return { text: "✓", wrong: false };
    return { text: "✕ " + (more ? `«page.more|by=by»` : `«page.less|by=by»`), wrong: true };
  }

  length(by, unit) {
    const text = unit === "deg" ? `${by.toFixed(1)}°` : this.inches ? (by / MM_PER_INCH).toFixed(2) : by.toFixed(1).replace(/\.0$/, "");
    return this.comma ? text.replace(".", ",") : text;
  }

  clear(step) {
    for (const field of this.of.get(step)) { this.put(field, ""); this.putSide(field, ""); this.kept.set(field.key, ""); }
    this.tell(step);
    this.of.get(step)[0].input.focus();
  }
}

// A number as people type it: "608", "608.5", "608,5", "24 3/8"; NaN where it is none.
function numberIn(text) {
  const fraction = /^(?:(\d+)[ -]+)?(\d+)\/(\d+)$/.exec(text);
  if (fraction) return +fraction[3] ? +(fraction[1] ?? 0) + fraction[2] / fraction[3] : NaN;
  return /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(text) ? +text.replace(",", ".") : NaN;
}
