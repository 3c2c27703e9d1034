// What was probably bent: the twin of pipemodel/correction/made.py, observed.py, explanations.py and estimate.py.
"use strict";

const FAR_OUT = [[10, 2 * Math.log(20 * 10)], [60, 2 * Math.log(400 * 60)]], MISTAKEN = 2 * Math.log(100), MISREAD = 2 * Math.log(50) + 2 * Math.log(100);
const AS_GOOD = 4, DOUBTED = 1.5, MOST_AT_ONCE = 3, Z_95 = 1.959963984540054;
const EITHER_MM = 30;
// Yielded as soon as it is known that bends made nearly right do not explain what was read.
const UNEXPLAINED = "unexplained";
const WHATS = ["mark", "angle", "turn"];

const IN_1000 = 3.0902, IN_20 = 1.6449;
const mostSquares = (n, once = IN_1000) => n ? n * (1 - 2 / (9 * n) + once * Math.sqrt(2 / (9 * n))) ** 3 : 0;

class MadePiece {
  // `run` is what the page holds of a piece, `count` how many of its pulls are made, `aims` what the hands went for.
  constructor(run, count, aims) {
    this.run = run;
    this.aims = aims;
    this.pulls = run.pulls.slice(0, count);
    this.bends = this.pulls.map((pull) => pull.bend).sort((a, b) => a - b);
    this.held = new Map(this.pulls.map((pull) => [pull.bend, pull.held]));
    this.unknowns = [];
    this.sd = [];
    this.bends.forEach((bend, place) => {
      this.unknowns.push([bend, "mark"], [bend, "angle"]);
      this.sd.push(Math.max(run.hands[0], 1e-3), Math.max(run.hands[1], 1e-3));
      if (place) {
        this.unknowns.push([bend, "turn"]);
        this.sd.push(Math.max(run.hands[2] * Math.sqrt(bend - this.bends[place - 1]), 1e-3));
      }
    });
    // By pull the places of the bends made then, along the tube, and a piece to bend them up on.
    this.after = this.pulls.map((_, k) => this.pulls.slice(0, k + 1).map((pull) => this.bends.indexOf(pull.bend)).sort((a, b) => a - b));
    // By pull and bend made then, which errors are of its mark, its angle and the turns since the one before.
    const place = (k, what) => this.place(this.bends[k], what);
    this.errorsOf = this.after.map((places) => places.map((k, i) => ({ mark: place(k, "mark"), angle: place(k, "angle"), turns: i ? this.bends.map((_, m) => m).filter((m) => m > places[i - 1] && m <= k).map((m) => place(m, "turn")) : [], earlier: this.held.get(this.bends[k]) === "finish" ? run.bends[this.bends[k]].radius : 0 })));
    this.bent = this.after.map((places) => ({ piece: pieceOf(places.map((place) => run.bends[this.bends[place]].radius), run.cut, run.outside), rows: [0, 1, 2].map(() => places.map(() => 0)) }));
    this.at = [0, 1, 2].map(() => this.bends.map(() => 0));
  }

  place(bend, what) { return this.unknowns.findIndex(([b, w]) => b === bend && w === what); }

  // Errors with which no bend begins before the one before it ends.
  get apart() {
    const errors = this.sd.map(() => 0);
    let before = 0;
    for (const bend of this.bends) {
      const aim = this.aims[bend], lack = errors[this.place(bend, "mark")] = Math.max(0, before - aim.start);
      before = aim.start + lack + this.run.bends[bend].radius * aim.angle * RAD;
    }
    return errors;
  }

  // Put down what the mark (0), angle (1) or turn (2) of a bend does, by mm or radian, with the errors that it comes of.
  moved(pull, what, i, by, row) {
    const { mark, angle, turns, earlier } = this.errorsOf[pull][i];
    if (what === 0) { row[mark] += by; row[angle] -= earlier * RAD * by; }
    if (what === 1) row[angle] += RAD * by;
    if (what === 2) for (const turn of turns) row[turn] += RAD * by;
  }

  // Of the bends made, by their places along the tube: starts, angles and planes.
  figures(errors, out = this.at.map((row) => [...row])) {
    const [starts, angles, planes] = out;
    let at = 0, off = 0;
    for (let place = 0; place < this.bends.length; place++) {
      const bend = this.bends[place], mark = errors[at++], angle = errors[at++], aim = this.aims[bend];
      if (place) off += errors[at++];
      starts[place] = aim.start + mark - (this.held.get(bend) === "finish" ? this.run.bends[bend].radius * angle * RAD : 0);
      angles[place] = aim.angle + angle;
      planes[place] = aim.plane + off;
    }
    return out;
  }

  // By pull, counted from 0, the piece after it, good until the next are asked for; null where no tube has bends like these.
  pieces(errors, after) {
    // The same list of errors is never changed, so the pieces bent up by it last are right.
    if (errors !== this.last) {
      this.last = errors;
      this.pieceAfter = [];
      this.figures(errors, this.at);
    }
    for (const k of after) if (this.pieceAfter[k] === undefined) this.pieceAfter[k] = this.bentTo(k, this.at);
    return this.pieceAfter;
  }

  bentTo(k, [ofStarts, ofAngles, ofPlanes]) {
    const places = this.after[k], { piece, rows: [starts, angles, turns] } = this.bent[k];
    for (let i = 0; i < places.length; i++) {
      const place = places[i];
      if (ofAngles[place] <= 0) return null;
      starts[i] = ofStarts[place];
      angles[i] = ofAngles[place];
      turns[i] = i ? ofPlanes[place] - ofPlanes[places[i - 1]] : 0;
    }
    return bendInto(piece, starts, angles, turns, false) ? piece : null;
  }
}

// What reads a check on a piece, a gap as if to one side (1 or -1), and how it grows.
function readBy(reads) {
  const { kind } = reads, to = { 0: reads, 1: { ...reads, side: 1 }, [-1]: { ...reads, side: -1 } };
  return { read: (p, side = 0) => READS[kind](p, to[side]), grows: (p, side, add) => GROWS[kind](p, to[side], add) };
}

// What was read as functions of a piece; `readings` are { id: values }, each a list, `sides` { id: 1, -1 or 0 for either } of what stands off.
function observationsOf(run, readings, sides = {}) {
  const out = [];
  run.pulls.forEach((pull, k) => pull.checks.forEach((check) => {
    const values = readings[check.id];
    if (!values || check.reads.kind === "caliper") return;
    const n = values.length, value = values.reduce((a, b) => a + b, 0) / n, reads = check.reads;
    const one = { check: check.id, pull: k, value, sd: check.within / 2 / Math.sqrt(n), once: n === 1, ...readBy(reads) };
    const gap = ["gap", "gaps"].includes(reads.kind), either = (gap || reads.kind === "stand") && check.value < EITHER_MM, side = sides[check.id];
    const sided = () => side ? { ...one, ...readBy({ ...reads, side }) } : { ...one, eitherSide: true };
    if (check.unit === "look") out.push({ ...one, look: true, sd: 1 });
    else if (!gap) out.push(either ? sided() : one);
    else if (value > check.within) out.push(sided());
    else for (const end of reads.kind === "gap" ? [reads.end] : ["start", "finish"]) out.push({ ...one, value: 0, sd: Math.hypot(one.sd, value), ...readBy({ ...reads, kind: "height", end, ring: reads.ring ?? 0 }) });
  }));
  return out;
}

const showsOther = (one, pieces) => { const piece = pieces[one.pull]; return piece && one.read(piece) * one.value < 0; };

function offOf(one, pieces) {
  const piece = pieces[one.pull];
  if (!piece || one.look) return !piece || showsOther(one, pieces) ? 99 : 0;
  return Math.abs(one.value - one.read(piece)) / one.sd;
}

const pullsOf = (observed) => [...new Set(observed.map((one) => one.pull))].sort((a, b) => a - b);

// What else may be so at the pulls that are doubted, on top of an explanation.
function othersOf(made, best, observed, doubted) {
  const out = [];
  made.pulls.forEach((pull, k) => {
    if (!doubted.has(k)) return;
    for (const what of WHATS) {
      const place = made.place(pull.bend, what);
      if (place < 0 || best.mistakes.some(([b, w]) => b === pull.bend && w === what)) continue;
      out.push({ ...best, far: [...best.far, place], mistakes: [...best.mistakes, [pull.bend, what]] });
    }
    // The plane of a bend made later is set out from that of the bend before it in time, wrong or not.
    const along = made.pulls.slice(k).map((one) => one.bend);
    for (const [name, mark, angle, rolled] of pull.mistakes) {
      const middle = best.middle.map((v, i) => {
        const [bend, what] = made.unknowns[i], before = made.bends[made.bends.indexOf(bend) - 1];
        if (what !== "turn") return bend !== pull.bend ? v : v + (what === "mark" ? mark : angle);
        const by = rolled * (along.includes(bend) - along.includes(before));
        return by ? halfTurn(v + by) : v;
      });
      out.push({ ...best, middle, costs: best.costs + MISTAKEN, mistakes: [...best.mistakes, [pull.bend, name]] });
    }
  });
  for (const check of new Set(observed.filter((one) => one.once && doubted.has(one.pull)).map((one) => one.check))) {
    if (!best.leftOut.includes(check)) out.push({ ...best, costs: best.costs + MISREAD, leftOut: [...best.leftOut, check] });
  }
  return out;
}

function doubtedOf(made, best, observed) {
  const pieces = made.pieces(best.at, pullsOf(observed)), read = new Set(pullsOf(observed)), doubted = new Set(observed.filter((one) => offOf(one, pieces) > DOUBTED).map((one) => one.pull));
  made.pulls.forEach((pull, k) => made.unknowns.forEach(([bend], i) => {
    if (bend === pull.bend && Math.abs(best.at[i] - best.why.middle[i]) > DOUBTED * best.why.sd[i]) doubted.add(k);
  }));
  const both = [...doubted].filter((k) => read.has(k));
  return both.length ? new Set(both) : read;
}

// What was probably bent: { bends, mistakes, again, alone, openSides, either }; figures are [value, low, high].
function* estimateOf(made, observed) {
  const plain = { middle: made.sd.map(() => 0), sd: made.sd, costs: 0, far: [], mistakes: [], leftOut: [] };
  const trials = new Trials(made, observed);
  const bare = yield* comeOf([new Descent(trials, plain, made.apart)]);
  if (!bare[0].explains) yield UNEXPLAINED;
  let [best, ...near] = bare, more = [];
  for (let k = 0; k < MOST_AT_ONCE && !best.explainsWell && !(best.explains && more.length); k++) {
    more = yield* onTopOf(trials, best, doubtedOf(made, best, observed));
    if (!more.length || more[0].sum >= best.sum) {
      if (best.explains) near = [...near, ...more];
      break;
    }
    [best, ...near] = more;
  }
  near = near.filter((one) => one.sum <= best.sum + AS_GOOD && !one.unlooked.length && !one.why.leftOut.length);
  let again = new Set([...best.why.leftOut, ...best.unlooked]);
  if (again.size) for (const one of more) { if (one.sum <= best.sum + AS_GOOD) one.why.leftOut.forEach((check) => again.add(check)); }
  else if (!best.explains) again = new Set([worstOf(made, best, observed)]);
  else again = new Set(best.farOut);
  const order = observed.map((one) => one.check), { mistakes } = best.why;
  return {
    bends: bendsOf(made, best, near), mistakes, again: [...again].sort((a, b) => order.indexOf(a) - order.indexOf(b)),
    alone: mistakes.length && !again.size ? yield* aloneOf(trials, plain, bare[0]) : [], ...sidesLeftOpen(made, best, near), likely: likelyOf([best, ...near]),
  };
}

// Which checks may stand off to either side, and the bends by each side; none where that is settled.
function sidesLeftOpen(made, best, near) {
  const ways = [best, ...near.filter((one) => one.sides.some((side, r) => side !== best.sides[r]))], { measured } = best.trials;
  const openSides = [...new Set(measured.filter((_, r) => ways.some((one) => one.sides[r] !== best.sides[r])).map((one) => one.check))];
  return { openSides, either: openSides.length ? ways.map((one) => bendsOf(made, one, [])) : [] };
}

function worstOf(made, best, observed) {
  const read = observed.filter((one) => !one.look), pieces = made.pieces(best.at, pullsOf(read));
  return read.reduce((a, b) => offOf(b, pieces) > offOf(a, pieces) ? b : a).check;
}

function* aloneOf(trials, plain, bare) {
  const once = new Set(trials.observed.filter((one) => one.once && !one.look).map((one) => one.check)), out = [];
  for (const check of once) if (yield* doesExplain(new Descent(trials, { ...plain, leftOut: [check] }, bare.at, bare.sides))) out.push(check);
  return out;
}

function weightsOf(tried) {
  const weights = tried.map((one) => Math.exp((tried[0].sum - one.sum) / 2)), whole = weights.reduce((a, b) => a + b, 0);
  return weights.map((weight) => weight / whole);
}

// What is not ruled out: errors less the mean of all, and their covariance.
function likelyOf(tried) {
  const weights = weightsOf(tried), mean = Array.from(tried[0].at, (_, i) => tried.reduce((sum, one, k) => sum + weights[k] * one.at[i], 0));
  return tried.map(({ at, covariance }) => ({ by: Array.from(at, (x, i) => x - mean[i]), covariance }));
}

function bendsOf(made, best, near) {
  const tried = [best, ...near], weights = weightsOf(tried), figures = tried.map((one) => figuresOf(made, one));
  return made.bends.map((bend, place) => {
    const [start, angle, turn] = [0, 1, 2].map((what) => {
      const rows = figures.map((one) => one[place][what]), half = Z_95;
      return [rows.reduce((sum, [v], i) => sum + v * weights[i], 0), Math.min(...rows.map(([v, sd]) => v - half * sd)), Math.max(...rows.map(([v, sd]) => v + half * sd))];
    });
    const aim = made.aims[bend], aimTurn = bend ? halfTurn(aim.plane - made.aims[bend - 1].plane) : 0;
    return { bend, start, angle, off: turn, turn: halfTurn(turn[0] + aimTurn), aim };
  });
}

// Start, angle and error of the turn of each bend, each with its standard deviation.
function figuresOf(made, { at, covariance }) {
  const bent = made.figures(at);
  return made.bends.map((bend, place) => {
    const [mark, angle, turn] = WHATS.map((what) => made.place(bend, what)), earlier = made.held.get(bend) === "finish" ? made.run.bends[bend].radius * RAD : 0;
    const start = covariance[mark][mark] - 2 * earlier * covariance[mark][angle] + earlier ** 2 * covariance[angle][angle], sd = (v) => Math.sqrt(Math.max(v, 0));
    const begins = bent[0][place], goes = bent[1][place];
    return [[begins, sd(start)], [goes, sd(covariance[angle][angle])], turn < 0 ? [0, 0] : [at[turn], sd(covariance[turn][turn])]];
  });
}
