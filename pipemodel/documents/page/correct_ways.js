// Explanations tried against readings: the twin of pipemodel/correction/ways.py.
"use strict";

const TWISTED_DEG = 4, CROOKED = [1, -1.7], BEHIND = [120, 12, 8, 6], HOPELESS = [100, 30], SAME_SUM = 1e-4;

// What is measured, and which errors move any of it, by their places (all others stay where they lie about); `moves` has for
// each of these the readings it moves. Tried on two pieces that are out in every way.
function activeOf(made, observed) {
  const measured = observed.filter((one) => !one.look), after = pullsOf(measured), moves = made.sd.map(() => new Set());
  const read = (errors) => { const pieces = made.pieces(errors, after); return measured.map((one) => { const piece = pieces[one.pull]; return piece ? one.read(piece) : null; }); };
  for (const scale of CROOKED) {
    const crooked = made.sd.map((_, i) => scale * (0.4 + 0.07 * (i % 7)) * (-1) ** i), right = read(crooked);
    crooked.forEach((_, i) => read(crooked.map((v, k) => k === i ? v + 0.3 : v)).forEach((v, r) => {
      if (v === null || right[r] === null ? v !== right[r] : Math.abs(v - right[r]) > 1e-9) moves[i].add(r);
    }));
  }
  const places = made.sd.map((_, i) => i).filter((i) => moves[i].size);
  return { measured, places, moves: places.map((i) => [...moves[i]]) };
}

const putIn = (all, places, values) => { const out = [...all]; places.forEach((place, k) => { out[place] = values[k]; }); return out; };

const nth = (row, k) => row[Math.min(k, row.length - 1)];

// What comes of explanations, the best first. All go down together, and those left far behind are given up.
function tryOut(made, whys, observed, active, first) {
  let ways = whys.flatMap((why) => waysOf(made, why, observed, active, first));
  for (let round = 0; ways.some((way) => !way.done); round++) {
    for (const way of ways) if (!way.done) way.go();
    const most = Math.min(...ways.map((way) => way.sum)) + nth(BEHIND, round);
    ways = ways.filter((way) => way.sum <= most);
  }
  const out = [];
  for (const way of ways) if (!out.some((one) => one.why === way.why && one.found.at.every((v, i) => Math.abs(v - way.found.at[i]) < 0.05))) out.push(way);
  // Two that come to the same thing stay as they were listed.
  const place = (way) => Math.round(way.sum / SAME_SUM);
  return out.sort((a, b) => place(a) - place(b));
}

// Whether an explanation explains all readings, no further than that is plain.
function doesExplain(made, why, observed, active, first) {
  let ways = waysOf(made, why, observed, active, first);
  for (let round = 0; ways.length && !ways.some((way) => way.explains); round++) {
    ways = ways.filter((way) => !way.done);
    for (const way of ways) way.go();
    ways = ways.filter((way) => way.down.cost <= mostSquares(way.count) + nth(HOPELESS, round));
  }
  return ways.length > 0;
}

// An explanation on its way down from one start.
class Way {
  constructor(made, why, observed, { measured, places, moves }, start, first) {
    const believes = (one) => !why.leftOut.includes(one.check), looks = observed.filter((one) => one.look && believes(one)), n = places.length;
    // A reading that is not believed counts as one that is just right.
    const read = measured.map((one) => believes(one) ? one : null), after = pullsOf(read.filter((one) => one));
    this.whole = (errors) => putIn(why.middle, places, errors);
    let moved = null;
    const off = (one, piece) => (one.value - one.read(piece)) / one.sd;
    const functions = (errors) => {
      const pieces = made.pieces(this.whole(errors), after), values = new Float64Array(n + read.length);
      for (let k = 0; k < n; k++) values[k] = (errors[k] - why.middle[places[k]]) / why.sd[places[k]];
      for (let r = 0; r < read.length; r++) if (read[r]) {
        const piece = pieces[read[r].pull];
        if (!piece) return null;
        values[n + r] = off(read[r], piece);
      }
      return values;
    };
    const slopes = (errors, values) => {
      const own = places.map((place, k) => [k, 1 / why.sd[place]]);
      // From where several begin, all have the same slopes.
      const known = this.down.steps ? {} : first;
      if (known.rows) return [...own, ...read.map((one, r) => one ? known.rows[r] : [])];
      const rows = read.map(() => []), changed = this.whole(errors);
      moved ??= moves.map((all) => { const own = all.filter((r) => read[r]); return { own, pulls: pullsOf(own.map((r) => read[r])) }; });
      made.pieces(changed, after);
      // From the last bend to the first, so that those before each are as they were.
      for (let k = n - 1; k >= 0; k--) {
        const { own: by, pulls } = moved[k], from = made.placeOf[places[k]];
        const valuesBy = (step) => {
          changed[places[k]] = errors[k] + step;
          const pieces = made.pieces(changed, pulls, from);
          return by.map((r) => { const piece = pieces[read[r].pull]; return piece ? off(read[r], piece) : null; });
        };
        const above = valuesBy(STEP), below = valuesBy(-STEP);
        changed[places[k]] = errors[k];
        by.forEach((r, m) => rows[r].push(k, slopeBy(above[m], values[n + r], below[m])));
      }
      if (!why.leftOut.length) known.rows = rows;
      return [...own, ...rows];
    };
    this.down = new Descent(functions, places.map((i) => start[i]), slopes);
    Object.assign(this, { made, why, places, looks, read, count: read.filter((one) => one).length });
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

  get explains() { return !this.unlooked.length && this.down.cost <= mostSquares(this.count); }

  // Checks read once that are further out than one true reading in a thousand, by what all else says.
  get farOut() {
    const less = this.down.withoutEach().slice(this.places.length), most = Math.max(0, ...less.filter((_, r) => this.read[r]?.once));
    return most <= mostSquares(1) ? [] : this.read.filter((one, r) => one?.once && less[r] > mostSquares(1) && less[r] >= most - AS_GOOD).map((one) => one.check);
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
    if (!fixed.has(key)) fixed.set(key, {});
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
