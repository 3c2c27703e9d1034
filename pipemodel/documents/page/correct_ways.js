// Explanations tried against readings: the twin of pipemodel/correction/ways.py. What may take long stops after each step
// (`yield`), so that whoever asks may do something else before the next.
"use strict";

const BEHIND = 6, HOPELESS = 100, SAME_SUM = 1e-4, SAME_LESS = 1e-8, SHARE = 0.5, HOPE = 5, TIMES = 10, MOST_MISTAKES = 6, MOST_FAR = 4, MOST_TURNED = 2, LEAST_STEPS = 3;
const STARTS = { mark: [-40, 40], angle: [-25, 25], turn: [-90, -25, 25, 90] };

// What is read of a piece, as functions of the errors.
class Trials {
  constructor(made, observed) {
    Object.assign(this, { made, observed, measured: observed.filter((one) => !one.look), looks: observed.filter((one) => one.look) });
    this.after = pullsOf(this.measured);
    this.lookedAfter = pullsOf(this.looks);
  }

  // To which side each gap is that was seen without its side: 1 or -1, 0 for all else. Where the errors leave that open it is
  // as in `like`.
  sidesOf(errors, like) {
    const pieces = this.made.pieces(errors, this.after);
    return this.measured.map((one, r) => {
      const piece = pieces[one.pull], by = one.eitherSide && piece ? one.read(piece, 1) - one.read(piece, -1) : 0;
      return one.eitherSide ? like && Math.abs(by) < one.value ? like[r] : by < 0 ? -1 : 1 : 0;
    });
  }

  // By how many standard deviations each reading is off; null where no tube has bends like these.
  values(errors, sides) {
    const pieces = this.made.pieces(errors, this.after), { measured } = this, out = new Float64Array(measured.length);
    for (let r = 0; r < measured.length; r++) {
      const one = measured[r], piece = pieces[one.pull];
      if (!piece) return null;
      out[r] = (one.value - one.read(piece, sides[r])) / one.sd;
    }
    return out;
  }

  // The slopes of these by each error.
  slopes(errors, sides) {
    const { made, measured } = this, pieces = made.pieces(errors, this.after);
    return measured.map((one, r) => {
      const row = new Float64Array(errors.length);
      one.grows(pieces[one.pull], sides[r], (what, i, by) => made.moved(one.pull, what, i, -by / one.sd, row));
      return row;
    });
  }
}

// An explanation on its way down from one start.
class Descent {
  constructor(trials, why, at, sides = trials.sidesOf(at)) {
    Object.assign(this, { trials, why, at, sides, steps: 0, done: false, fell: Infinity, leastSteps: 1 });
    this.weights = why.sd.map((sd) => 1 / (sd * sd));
    this.read = trials.measured.map((one) => !why.leftOut.includes(one.check));
    this.count = this.read.filter((one) => one).length;
    this.looks = trials.looks.filter((one) => !why.leftOut.includes(one.check));
    this.values = trials.values(at, sides);
    if (this.values) { Object.assign(this, this.costOf(at, this.values)); this.look(); }
  }

  // How much the square of an error weighs, and what its being far out costs; most are not.
  weightOf(i, at) {
    const w = this.weights[i], square = (at[i] - this.why.middle[i]) ** 2 * w, [near, much] = FAR_OUT;
    if (!this.why.far.includes(i)) return [w, 0];
    const [times, costs] = square / near[0] ** 2 + near[1] <= square / much[0] ** 2 + much[1] ? near : much;
    return [w / (times * times), costs];
  }

  // The sum of squares, and what errors that are far out cost besides.
  costOf(at, values) {
    const { why: { middle, far }, weights, read } = this;
    let cost = 0, rare = 0;
    for (let i = 0; i < at.length; i++) { const off = at[i] - middle[i]; cost += off * off * weights[i]; }
    for (const i of far) { const [w, costs] = this.weightOf(i, at); cost += (at[i] - middle[i]) ** 2 * (w - weights[i]); rare += costs; }
    for (let r = 0; r < values.length; r++) if (read[r]) cost += values[r] * values[r];
    return { cost, rare };
  }

  // Go one step down.
  go() {
    const { trials, why: { middle }, at, values, read, sides } = this, n = at.length, cost = this.cost + this.rare;
    const down = new Float64Array(n), normal = new Float64Array(n * n), rows = this.rows = trials.slopes(at, sides);
    for (let i = 0; i < n; i++) { const [w] = this.weightOf(i, at); normal[i * n + i] = w; down[i] = (middle[i] - at[i]) * w; }
    for (let r = 0; r < rows.length; r++) if (read[r]) {
      const row = rows[r], own = [];
      for (let a = 0; a < n; a++) if (row[a]) own.push(a);
      for (let k = 0; k < own.length; k++) {
        const a = own[k], slope = row[a], line = a * n;
        down[a] -= slope * values[r];
        for (let m = 0; m <= k; m++) normal[line + own[m]] += slope * row[own[m]];
      }
    }
    this.normal = normal;
    solve(lowerOf(normal, n), down);
    this.steps++;
    for (let k = 0, share = 1; k < HALVINGS; k++, share /= 2) {
      const there = at.map((x, i) => x + share * down[i]), now = trials.values(there, sides), comes = now && this.costOf(there, now);
      if (!now || comes.cost + comes.rare > cost) continue;
      const less = cost - comes.cost - comes.rare;
      Object.assign(this, { at: there, values: now, ...comes, fell: less });
      this.done = less <= SAME_LESS || this.steps >= MOST_STEPS;
      this.look();
      return;
    }
    this.done = true;
    this.fell = 0;
  }

  // What it comes to so far; `unlooked` are looks that show something else.
  look() {
    const { trials, why, looks } = this, pieces = trials.made.pieces(this.at, trials.lookedAfter);
    this.unlooked = looks.filter((one) => showsOther(one, pieces)).map((one) => one.check);
    this.sum = this.cost + this.rare + MISREAD * this.unlooked.length + why.costs;
  }

  // So well that nothing else need be looked for: one true set in 20 goes worse.
  get explainsWell() { return !this.unlooked.length && this.cost <= mostSquares(this.count, IN_20); }

  get explains() { return !this.unlooked.length && this.cost <= mostSquares(this.count); }

  get covariance() { return this.known ??= inverseOf(this.normal, this.at.length); }

  // By how much less the sum of squares would be without some terms, each its slopes and its value, by the last step's slopes.
  without(terms) {
    const { covariance } = this, k = terms.length, left = new Float64Array(k * k), out = Float64Array.from(terms, ([, value]) => value);
    const rows = terms.map(([row]) => Array.from(row, (slope, place) => [place, slope]).filter(([, slope]) => slope));
    rows.forEach((a, i) => {
      for (let j = 0; j <= i; j++) {
        let held = 0;
        for (const [p, x] of a) for (const [q, y] of rows[j]) held += x * y * covariance[p][q];
        left[i * k + j] = (i === j ? 1 + 1e-6 : 0) - held;
      }
    });
    solve(lowerOf(left, k), out);
    return terms.reduce((sum, [, value], i) => sum + value * out[i], 0);
  }

  withoutCheck(check) { return this.without(this.trials.measured.flatMap((one, r) => one.check === check && this.read[r] ? [[this.rows[r], this.values[r]]] : [])); }

  withoutError(i) {
    const root = Math.sqrt(this.weightOf(i, this.at)[0]);
    return this.without([[this.at.map((_, k) => k === i ? root : 0), (this.at[i] - this.why.middle[i]) * root]]);
  }

  // Checks read once that are further out than one true reading in a thousand, by what all else says.
  get farOut() {
    const once = this.trials.measured.flatMap((one, r) => one.once && this.read[r] ? [[one.check, this.without([[this.rows[r], this.values[r]]])]] : []), most = Math.max(0, ...once.map(([, less]) => less));
    return once.filter(([, less]) => less > mostSquares(1) && less >= most - AS_GOOD).map(([check]) => check);
  }

  // The same with the gaps seen without their sides to the other ones.
  get otherSides() {
    const { trials, why, at, sides, read } = this, either = sides.flatMap((side, r) => side && read[r] ? [r] : []).slice(0, 3), out = [];
    // From here no slope may lead there: what is twisted as far the other way is nearer.
    const back = at.map((v, i) => trials.made.unknowns[i][1] === "turn" ? 2 * why.middle[i] - v : v), cost = (way) => way.values ? way.sum : Infinity;
    for (let k = 1; k < 2 ** either.length; k++) {
      const to = sides.map((side, r) => either.includes(r) && k >> either.indexOf(r) & 1 ? -side : side);
      const [here, there] = [at, back].map((from) => new Descent(trials, why, from, to));
      out.push(cost(there) < cost(here) ? there : here);
    }
    for (const one of out) one.leastSteps = LEAST_STEPS;
    return out;
  }
}

// What comes of some ways, the best first.
function* comeOf(ways) {
  ways = sorted(yield* goDown(ways));
  // A gap seen without its side may be to the other one.
  const more = ways.slice(0, MOST_TURNED).flatMap((way) => way.otherSides);
  if (more.length) ways = sorted(yield* goDown([...ways, ...more]));
  return ways.filter((way, k) => !ways.slice(0, k).some((one) => one.why === way.why && one.at.every((v, i) => Math.abs(v - way.at[i]) < 0.05)));
}

// Two that come to the same thing stay as they were listed.
function sorted(ways) {
  const place = (way) => Math.round(way.sum / SAME_SUM);
  return ways.sort((a, b) => place(a) - place(b));
}

// All go down together, and those left far behind are given up.
function* goDown(ways) {
  ways = ways.filter((way) => way.values);
  while (ways.some((way) => !way.done)) {
    for (const way of ways) if (!way.done) { way.go(); yield; }
    const least = Math.min(...ways.map((way) => way.sum)) + BEHIND;
    ways = ways.filter((way) => way.sum - way.fell <= least || way.steps < way.leastSteps);
  }
  return ways;
}

// Whether an explanation explains all readings, no further than that is plain.
function* doesExplain(way) {
  while (!way.explains) {
    if (way.done || way.cost - Math.max(way.fell, HOPELESS) > mostSquares(way.count)) return false;
    way.go();
    yield;
  }
  return true;
}

// What else may be so, on top of the best so far: the best first. What promises little by the slopes there is not tried.
function* onTopOf(trials, best, doubted) {
  const whys = othersOf(trials.made, best.why, trials.observed, doubted), from = (why, at) => new Descent(trials, why, at, trials.sidesOf(at, best.sides));
  const farOf = (why) => why.far.length > best.why.far.length ? why.far.at(-1) : undefined, mistakes = [];
  const promising = [];
  for (const why of whys) {
    const far = farOf(why), left = why.leftOut.length > best.why.leftOut.length;
    yield;
    if (far !== undefined) promising.push([why, best.withoutError(far) - FAR_OUT[0][1]]);
    else if (left) promising.push([why, best.withoutCheck(why.leftOut.at(-1)) - MISREAD]);
    else {
      const two = [why.middle, best.at.map((v, i) => v + why.middle[i] - best.why.middle[i])].map((at) => from(why, at)).filter((way) => way.values);
      if (two.length) mistakes.push(two.reduce((a, b) => b.sum < a.sum ? b : a));
    }
  }
  const most = Math.max(...promising.map(([, less]) => less));
  const ways = promising.filter(([, less]) => less >= SHARE * most - HOPE).map(([why]) => from(why, best.at));
  mistakes.sort((a, b) => a.sum - b.sum);
  while (mistakes.length && mistakes.at(-1).sum > TIMES * best.sum) mistakes.pop();
  const found = sorted(yield* goDown([...ways, ...mistakes.slice(0, MOST_MISTAKES)]));
  if (found[0]?.explains) return yield* comeOf(found);
  // What is out so far that the piece turned over elsewhere is not found by the slopes.
  const far = promising.filter(([why]) => farOf(why) !== undefined).sort((a, b) => b[1] - a[1]).slice(0, MOST_FAR);
  const more = far.flatMap(([why]) => STARTS[why.mistakes.at(-1)[1]].map((d) => from(why, best.at.map((v, i) => i === farOf(why) ? why.middle[i] + d : v))));
  return yield* comeOf([...found, ...more]);
}
