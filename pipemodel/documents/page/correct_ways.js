// Explanations tried against readings: the twin of pipemodel/correction/ways.py.
"use strict";

const TWISTED_DEG = 4, CROOKED = [1, -1.7], BEHIND = [120, 20, 8, 6];

// Which errors move any reading at all, by their places (all others stay where they lie about); and by reading which of
// these move it, by their places among them. Tried on two pieces that are out in every way.
function activeOf(made, observed) {
  const after = pullsOf(observed), measured = observed.filter((one) => !one.look), moved = new Map(measured.map((one) => [one, new Set()]));
  const read = (errors) => { const pieces = made.pieces(errors, after); return measured.map((one) => { const piece = pieces.get(one.pull); return piece ? one.read(piece) : null; }); };
  for (const scale of CROOKED) {
    const crooked = made.sd.map((_, i) => scale * (0.4 + 0.07 * (i % 7)) * (-1) ** i), right = read(crooked);
    crooked.forEach((_, i) => read(crooked.map((v, k) => k === i ? v + 0.3 : v)).forEach((v, k) => {
      if (v === null || right[k] === null ? v !== right[k] : Math.abs(v - right[k]) > 1e-9) moved.get(measured[k]).add(i);
    }));
  }
  const places = made.sd.map((_, i) => i).filter((i) => measured.some((one) => moved.get(one).has(i)));
  return { places, by: new Map(measured.map((one) => [one, places.map((_, k) => k).filter((k) => moved.get(one).has(places[k]))])) };
}

const putIn = (all, places, values) => { const out = [...all]; places.forEach((place, k) => { out[place] = values[k]; }); return out; };

// What comes of explanations, the best first. All go down together, and those left far behind are given up.
function tryOut(made, whys, observed, active, fixed = new Map()) {
  let ways = whys.flatMap((why) => waysOf(made, why, observed, active, fixed));
  for (let round = 0; ways.some((way) => !way.done); round++) {
    for (const way of ways) if (!way.done) way.go();
    const least = Math.min(...ways.map((way) => way.sum)), most = least + (BEHIND[round] ?? BEHIND[BEHIND.length - 1]);
    ways = ways.filter((way) => way.sum <= most);
  }
  const out = [];
  for (const way of ways) if (!out.some((one) => one.why === way.why && one.found.at.every((v, i) => Math.abs(v - way.found.at[i]) < 0.05))) out.push(way);
  return out.sort((a, b) => a.sum - b.sum);
}

// An explanation on its way down from one start.
class Way {
  constructor(made, why, observed, { places, by }, start, first) {
    const believed = observed.filter((one) => !why.leftOut.includes(one.check)), read = believed.filter((one) => !one.look), looks = believed.filter((one) => one.look);
    const middles = places.map((i) => why.middle[i]), sds = places.map((i) => why.sd[i]), n = places.length;
    this.whole = (errors) => putIn(why.middle, places, errors);
    const after = pullsOf(read), moves = places.map((_, k) => read.filter((one) => by.get(one).includes(k)));
    const functions = (errors) => {
      const pieces = made.pieces(this.whole(errors), after), values = errors.map((e, k) => (e - middles[k]) / sds[k]);
      for (const one of read) {
        const piece = pieces.get(one.pull);
        if (!piece) return null;
        values.push((one.value - one.read(piece)) / one.sd);
      }
      return values;
    };
    const rows = new Map(read.map((one, r) => [one, n + r]));
    const slopes = (errors, values) => {
      const own = places.map((_, k) => [[k, 1 / sds[k]]]);
      // From where several begin, all have the same slopes.
      const known = this.down.steps ? null : first;
      if (known?.size) return [...own, ...read.map((one) => known.get(one))];
      const out = [...own, ...read.map(() => [])];
      places.forEach((_, k) => {
        if (!moves[k].length) return;
        const pulls = pullsOf(moves[k]), changed = [...errors];
        changed[k] = errors[k] + STEP;
        const above = made.pieces(this.whole(changed), pulls);
        changed[k] = errors[k] - STEP;
        const below = made.pieces(this.whole(changed), pulls);
        for (const one of moves[k]) {
          const value = (pieces) => { const piece = pieces.get(one.pull); return piece ? (one.value - one.read(piece)) / one.sd : null; };
          out[rows.get(one)].push([k, slopeBy(value(above), values[rows.get(one)], value(below))]);
        }
      });
      if (known && !why.leftOut.length) read.forEach((one, r) => known.set(one, out[n + r]));
      return out;
    };
    this.down = new Descent(functions, places.map((i) => start[i]), slopes);
    Object.assign(this, { made, why, places, looks, read });
    if (this.down.cost !== null) this.look();
  }

  get done() { return this.down.done; }

  go() {
    this.down.step();
    this.look();
  }

  // What it comes to so far; `unlooked` are looks that show something else.
  look() {
    const pieces = this.looks.length ? this.made.pieces(this.whole(this.down.at), pullsOf(this.looks)) : null;
    this.unlooked = this.looks.filter((one) => showsOther(one, pieces)).map((one) => one.check);
    this.sum = this.down.cost + MISREAD * this.unlooked.length + this.why.costs;
  }

  get explains() { return !this.unlooked.length && this.down.cost <= mostSquares(this.read.length); }

  // Checks read once that are further out than one true reading in a thousand, by what all else says.
  get farOut() {
    const less = this.down.withoutEach().slice(this.places.length), most = Math.max(0, ...less.filter((_, r) => this.read[r].once));
    return most <= mostSquares(1) ? [] : this.read.filter((one, r) => one.once && less[r] > mostSquares(1) && less[r] >= most - AS_GOOD).map((one) => one.check);
  }

  // All errors as found: those that no reading hangs on where they lie about and as uncertain as before.
  get found() {
    const { why, places, down } = this;
    return {
      at: this.whole(down.at),
      get covariance() {
        const covariance = why.sd.map((sd, i) => why.sd.map((_, j) => i === j ? sd ** 2 : 0)), own = down.covariance;
        places.forEach((i, a) => places.forEach((j, b) => { covariance[i][j] = own[a][b]; }));
        return covariance;
      },
    };
  }
}

function waysOf(made, why, observed, active, fixed) {
  const read = observed.filter((one) => !one.look && !why.leftOut.includes(one.check)), out = [];
  for (const start of startsOf(made, why, read)) {
    const key = start.join();
    if (!fixed.has(key)) fixed.set(key, new Map());
    const way = new Way(made, why, observed, active, start, fixed.get(key));
    if (way.down.cost !== null) out.push(way);
  }
  return out;
}

function startsOf(made, why, read) {
  const places = [];
  for (const one of read) if (one.eitherSide) {
    const at = made.bends.indexOf(made.run.pulls[one.pull].bend);
    for (const bend of made.bends.slice(at, at + 2)) {
      const place = made.place(bend, "turn");
      if (place >= 0 && !places.includes(place)) places.push(place);
    }
  }
  let starts = [[...why.middle]];
  for (const place of places.slice(0, 3)) starts = starts.flatMap((start) => [TWISTED_DEG, -TWISTED_DEG].map((by) => start.map((v, i) => i === place ? v + by : v)));
  return starts;
}
