// Readings answered on the spot: what was probably bent and what to do, under the checks; and the cards still to come, as
// corrected. It hears `readings` from a pull's step, and reads all that is kept when the page opens.
"use strict";

class Corrections {
  constructor(page) {
    Object.assign(this, { page, searches: [], warming: new Slices() });
    page.$("steps").addEventListener("readings", (e) => this.heard(e.detail.piece, e.detail));
    // What is printed is the answer.
    addEventListener("beforeprint", () => this.searches.forEach((search) => search.finish()));
    new MutationObserver(() => this.load()).observe(page.$("job-data"), { childList: true });
    this.load();
  }

  load() {
    [...this.searches, this.warming].forEach((search) => search.stop());
    const { answers, unit, language, identity } = this.page.data;
    this.answers = answers;
    this.inches = unit === "in";
    this.comma = language === "de";
    this.kept = new Kept(identity);
    this.printed = new Map();
    this.searches = answers.pieces.map(() => new Slices());
    const soon = performance.now() + FIRST_MS;
    answers.pieces.forEach((run, piece) => {
      const step = this.stepsOf(piece)[0];
      if (run && step) this.heard(piece, this.page.readings.detail(step), soon);
    });
    const largest = answers.pieces.filter((run) => run).sort((a, b) => b.pulls.length - a.pulls.length)[0], nothing = () => {};
    if (largest) this.warming.timer = setTimeout(() => this.warming.start(warmUp(largest), nothing, nothing), WARM_UP_MS);
  }

  stepsOf(piece) { return this.page.steps.filter((step) => +step.dataset.piece === piece && step.querySelector(".answer")); }

  // Answer all that was read on a piece: { id: what was read }, in mm and degrees or the word of a look, and `sides`. What takes longer than
  // until then is looked for in slices, and the page says so.
  heard(piece, { readings, sides }, until) {
    const run = this.answers.pieces[piece], blocks = [], answers = [];
    if (!run) return;
    const asPlanned = this.kept.get(`${piece}/as planned`) === "yes", at = this.at = { piece, run, steps: this.stepsOf(piece), read: readings, sides, asPlanned };
    run.pulls.forEach((pull, k) => {
      const own = pull.checks.filter((check) => check.id in readings && this.possible(run, check, readings[check.id]));
      if (own.length) blocks.push({ after: k + 1, corrected: !asPlanned && blocks.length > 0, readings: Object.fromEntries(own.map((c) => [c.id, this.values(c.id, readings[c.id])])), sides: Object.fromEntries(own.filter((c) => c.id in sides).map((c) => [c.id, sides[c.id]])) });
    });
    this.warming.stop();
    this.searches[piece].start(answering(run, blocks, answers), () => this.show(at, answers), (known) => this.wait(at, answers, blocks, known), until);
  }

  show(at, answers) {
    const { steps, asPlanned } = this.at = at, last = answers.at(-1);
    steps.forEach((step, k) => {
      const answer = answers.find((one) => one.after === k + 1), after = last && k >= last.after && !asPlanned && ["change", "pull on"].includes(last.verdict);
      step.querySelector(".answer").replaceChildren(...(answer ? this.sentences(answer) : []));
      this.correct(step, k, after ? last : null);
    });
    if (last && steps[last.after - 1] && (asPlanned || last.changed)) steps[last.after - 1].querySelector(".answer").append(this.choice(asPlanned));
  }

  // Show what is answered so far, and say under the others and on the cards to come that it is being worked out.
  wait(at, answers, blocks, known) {
    const open = blocks.slice(answers.length).map((block) => block.after);
    this.show(at, answers);
    open.forEach((after, i) => at.steps[after - 1].querySelector(".answer").replaceChildren(this.line(this.say((!i && known) || "waiting"), "waiting")));
    if (!at.asPlanned) at.steps.slice(open.at(-1)).forEach((step, i) => {
      this.correct(step, open.at(-1) + i, null);
      step.querySelector(".do .head").after(this.line(this.say("wait"), "corrected waiting"));
    });
  }

  // Mark what is corrected on the card of a pull still to come, or take that off again.
  correct(step, k, answer) {
    const changes = answer ? this.changes(answer, k) : [], items = step.querySelectorAll(".actions > li"), { said } = this.at.run.pulls[k];
    step.querySelector(".corrected")?.remove();
    step.querySelectorAll(".superseded").forEach((old) => old.classList.remove("superseded"));
    if (changes.length) {
      step.querySelector(".do .head").after(this.card(answer, changes.map(([, text]) => text)));
      for (const [what] of changes) items[said[what === "back" ? "mark" : what]]?.classList.add("superseded");
      const names = changes.map(([what]) => ({ mark: `«page.mark»`, pull: `«page.pull to»` })[what]);
      for (const name of step.querySelectorAll(".figures dt")) if (names.includes(name.textContent)) name.nextElementSibling.classList.add("superseded");
    }
    this.expect(step, k, answer);
  }

  // What the checks of a pull should read, once its piece is another than planned.
  expect(step, k, answer) {
    const { run, piece } = this.at, bends = run.pulls.slice(0, k + 1).map((p) => p.bend).sort((a, b) => a - b), held = this.page.data.pieces[piece].pulls[k].checks, row = (name) => bends.map((i) => answer.rows[name][i]);
    let made = null;
    if (answer) {
      const planes = row("planes");
      made = bendUp({ starts: row("starts"), angles: row("angles"), turns: planes.map((plane, i) => i ? plane - planes[i - 1] : 0), radii: bends.map((i) => run.bends[i].radius), length: run.cut, outside: run.outside });
    }
    run.pulls[k].checks.forEach((check, i) => {
      if (check.unit === "look") return;
      const right = made ? READS[check.reads.kind](made, check.reads) : check.value, wanted = document.getElementById(`${step.querySelector(`[data-check="${check.id}"]`).id}-wanted`);
      held[i].value = right;
      if (!wanted) return;
      this.printed.set(wanted, this.printed.get(wanted) ?? wanted.textContent);
      wanted.textContent = Math.abs(right - check.value) < 0.05 ? this.printed.get(wanted) : this.say("wanted", { wanted: check.unit === "deg" ? `${this.number(right)}°` : this.tape(right) });
    });
    this.page.readings.show(step);
  }

  // A reading as a list: twice the same where it was taken again and is the same.
  values(check, read) {
    const value = LOOKED[read] ?? read;
    return this.kept.get(`${this.at.piece}/twice/${check}`) === String(read) ? [value, value] : [value];
  }

  // A figure that cannot be meant is no reading yet.
  possible(run, check, value) { return check.unit === "look" ? value in LOOKED : !unlikely(run, check, value); }

  say(name, values = {}) { return (this.answers.words[name] ?? name).replace(/\{(\w+)\}/g, (_, key) => values[key]); }

  number(value, places = 1) {
    const text = value.toFixed(places).replace(/^-0(\.0+)?$/, "0").replace(/\.0+$/, "");
    return this.comma ? text.replace(".", ",") : text;
  }

  // A length to be taped, as the card has it.
  tape(value) { const text = taped(value, this.inches); return `${this.comma ? text.replace(".", ",") : text} ${this.answers.unit}`; }

  mm(value) { return this.inches ? `${this.number(value / 25.4, 2)} ${this.answers.unit}` : `${this.number(value)} mm`; }

  // A length round the tube.
  round(value) { return this.inches ? `${(value / 25.4).toFixed(3).replace(".", this.comma ? "," : ".")} ${this.answers.unit} (~${fraction(value, 64)})` : this.mm(value); }

  line(text, className = "") { return Object.assign(document.createElement("p"), { className, textContent: text[0].toUpperCase() + text.slice(1) }); }

  sentences({ verdict, flat, found, after, miss, left, again, alone, sides, noSide, on, trim, slip, cannot, wrong, changed, unsure, shown, unread }) {
    const { piece, read } = this.at, out = [], line = (text) => out.push(this.line(text));
    const head = document.createElement("p");
    head.append(Object.assign(document.createElement("strong"), { textContent: this.say(`verdict ${verdict}`), className: ["recut", "contradiction", "which side"].includes(verdict) ? "fail" : shown === false ? "" : "pass" }));
    out.push(head);
    for (const [bend, name] of found.mistakes) if (this.answers.words[`mistake ${name}`]) line(this.say(`mistake ${name}`, { bend: bend + 1 }));
    for (const bend of found.bends) this.bent(bend, bend.bend === this.at.run.pulls[after - 1].bend, line);
    if (noSide?.length) line(this.say("side not known", { checks: noSide.join(", ") }));
    if (again && !alone) line(this.say(again.length > 1 ? "again" : "again one", { checks: again.join(", ") }));
    if (sides) line(this.say("which side", { checks: sides.join(", ") }));
    if (found.alone.length && !sides) line(this.say("alone", { checks: found.alone.join(", ") }));
    // Whoever reads the same again says so.
    const doubted = [...new Set([...(sides ? [] : found.alone), ...(again ?? [])])].filter((check) => this.values(check, read[check]).length === 1);
    out.push(...doubted.map((check) => this.button(this.say("twice", { check }), () => this.kept.set(`${piece}/twice/${check}`, String(read[check])))));
    const off = wrong ? miss : left ?? miss, lands = (name) => this.say(`${name} ${off.along >= 0 ? "long" : "short"}`, { sideways: this.mm(off.sideways), along: this.mm(Math.abs(off.along)), angle: this.number(off.direction) });
    if (trim !== undefined) line(this.say("trim", { far: this.tape(trim) }));
    if (slip !== undefined) line(this.say(`slip ${slip > 0 ? "finish" : "start"}`, { far: this.tape(Math.abs(slip)) }));
    const fine = (mm, down) => { const scale = this.inches ? 1000 : 100, x = (mm / (this.inches ? 25.4 : 1)) * scale, text = ((down ? Math.floor(x + 1e-6) : Math.round(x)) / scale).toFixed(this.inches ? 3 : 2); return `${this.comma ? text.replace(".", ",") : text} ${this.answers.unit}`; };
    if (flat) line(this.say("recut", { why: flat.map(([bend, by, most]) => this.say("flattened", { bend: bend + 1, by: fine(by), most: fine(most, true) })).join("; ") }));
    else if (wrong) line(this.say(alone ? "if again" : "recut", { why: cannot ? this.say("no order") : lands("at best") }));
    else if (on) line(this.say("pull on", { bend: this.at.run.pulls[after - 1].bend + 1, more: this.number(on.more), angle: this.number(on.angle), scale: this.number(on.scale) }));
    else if (!again && !sides) line(lands("lands"));
    if (unsure && !wrong && !flat) line(this.say(shown ? "give or take" : "not shown", { sideways: this.mm(unsure.sideways), along: this.mm(unsure.along), angle: this.number(unsure.direction) }));
    if (shown === false && !wrong) line(unread.length ? this.say("not read", { checks: unread.join(", ") }) : this.say(after < this.at.run.pulls.length ? "read twice" : "hold up"));
    if (changed) line(this.say("not looked at"));
    return out;
  }

  bent({ bend, start, angle, off, aim }, always, line) {
    const isOff = ([value, low, high], right, least) => (right < low || right > high) && Math.abs(value - right) >= least, half = ([, low, high]) => (high - low) / 2;
    if (always || isOff(angle, aim.angle, 0.25)) line(this.say("angle", { bend: bend + 1, angle: this.number(angle[0]), low: this.number(angle[1]), high: this.number(angle[2]), aim: this.number(aim.angle) }));
    if (isOff(start, aim.start, 0.75)) line(this.say(start[0] > aim.start ? "start further" : "start nearer", { bend: bend + 1, far: this.mm(Math.abs(start[0] - aim.start)), within: this.mm(half(start)) }));
    if (isOff(off, 0, 0.25)) line(this.say(off[0] > 0 ? "turn clockwise" : "turn anticlockwise", { bend: bend + 1, angle: this.number(Math.abs(halfTurn(off[0]))), within: this.number(half(off)) }));
  }

  // What is to be done otherwise at a pull still to come: [what its own step is that this puts aside, in words].
  changes({ rows }, k) {
    const { run } = this.at, pull = run.pulls[k], { mark, back, pull: to, line, level } = otherwiseAt(run, rows, k), out = [];
    const check = back ? this.say(back.meets ? "check meet" : "check", { far: this.tape(back.far), bend: back.bend + 1 }) : "";
    if (mark !== undefined) out.push(["mark", this.say("mark", { at: this.tape(mark), was: this.tape(pull.mark) }) + check]);
    else if (back !== undefined) out.push(["back", this.say("mark same", { at: this.tape(pull.mark) }) + check]);
    if (line) {
      const { round, more, last } = line, ways = [more, round].map((by) => by >= 0 ? "clockwise" : "anticlockwise").join(" ");
      out.push(["line", this.say(`roll ${ways}`, { more: this.number(Math.abs(more)), angle: this.number(Math.abs(round)), far: this.round(Math.PI * run.outside * Math.abs(round) / 360), last: last + 1 })]);
      out.push(["roll", this.say(`lay ${run.stance}`)]);
    }
    if (level) out.push(["guide", this.say(`stands ${level.stands}`, { bend: level.bend + 1, angle: this.number(Math.abs(level.above)) })]);
    if (to !== undefined) out.push(["pull", this.say("pull", { angle: this.number(to), was: this.number(pull.pull) })]);
    return out;
  }

  card({ after }, changes) {
    const card = Object.assign(document.createElement("div"), { className: "corrected" }), list = document.createElement("ul");
    card.append(Object.assign(document.createElement("strong"), { textContent: this.say("corrected", { pull: after }) }), list);
    list.append(...changes.map((text) => Object.assign(document.createElement("li"), { textContent: text })));
    return card;
  }

  choice(asPlanned) {
    const { piece } = this.at;
    return this.button(this.say(asPlanned ? "redo" : "undo"), () => this.kept.set(`${piece}/as planned`, asPlanned ? "" : "yes"));
  }

  // A button that changes what is kept, after which all is answered again.
  button(text, change) {
    const button = Object.assign(document.createElement("button"), { type: "button", className: "choice", textContent: text }), { piece, read, sides } = this.at;
    button.addEventListener("click", () => {
      const answer = button.closest(".answer");
      change();
      this.heard(piece, { readings: read, sides });
      (answer.querySelector(".choice") ?? answer).focus();
    });
    return button;
  }
}

const WARM_UP_MS = 1500;
const LOOKED = { left: 1, right: -1, same: 1, opposite: -1 };
if (page.readings) new Corrections(page);
