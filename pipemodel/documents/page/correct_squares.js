// Weighted least squares by Gauss and Newton: the twin of pipemodel/correction/least_squares.py.
"use strict";

const STEP = 1e-4, STILL = 1e-7, MOST_STEPS = 30, HALVINGS = 12;

const squares = (values) => values.reduce((sum, v) => sum + v * v, 0);

// The lower triangle L of a symmetric positive definite matrix L L', by Cholesky's method.
function lowerOf(matrix) {
  const n = matrix.length, lower = matrix.map(() => new Float64Array(n));
  for (let j = 0; j < n; j++) {
    let rest = matrix[j][j];
    for (let k = 0; k < j; k++) rest -= lower[j][k] ** 2;
    lower[j][j] = Math.sqrt(Math.max(rest, 1e-300));
    for (let i = j + 1; i < n; i++) {
      let v = matrix[i][j];
      for (let k = 0; k < j; k++) v -= lower[i][k] * lower[j][k];
      lower[i][j] = v / lower[j][j];
    }
  }
  return lower;
}

// The inverse of a symmetric positive definite matrix.
function inverseOf(matrix) {
  const n = matrix.length, lower = lowerOf(matrix), turned = matrix.map(() => new Float64Array(n));
  for (let j = 0; j < n; j++) {
    turned[j][j] = 1 / lower[j][j];
    for (let i = j + 1; i < n; i++) {
      let v = 0;
      for (let k = j; k < i; k++) v -= lower[i][k] * turned[k][j];
      turned[i][j] = v / lower[i][i];
    }
  }
  return matrix.map((_, i) => matrix.map((_, j) => {
    let v = 0;
    for (let k = Math.max(i, j); k < n; k++) v += turned[k][i] * turned[k][j];
    return v;
  }));
}

// The solution of a set of normal equations.
function solved(matrix, right) {
  const n = right.length, lower = lowerOf(matrix), out = [...right];
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) out[i] -= lower[i][k] * out[k];
    out[i] /= lower[i][i];
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) out[i] -= lower[k][i] * out[k];
    out[i] /= lower[i][i];
  }
  return out;
}

// The way down to where the sum of squares of `functions` is least, step by step from `at`; `cost` is null where they have
// no value there. `slopes` gives for each value the unknowns that move it, [which, by how much].
class Descent {
  constructor(functions, at, slopes = slopesOf(functions)) {
    Object.assign(this, { functions, at, slopes, values: functions(at), normal: [], steps: 0 });
    this.cost = this.values && squares(this.values);
    this.done = this.cost === null;
  }

  step() {
    const { at, values, cost } = this, n = at.length, normal = at.map(() => new Float64Array(n)), right = new Float64Array(n);
    this.rows = this.slopes(at, values);
    this.rows.forEach((row, k) => {
      for (const [i, a] of row) {
        right[i] -= a * values[k];
        for (const [j, b] of row) normal[i][j] += a * b;
      }
    });
    this.normal = normal;
    this.steps++;
    const down = solved(normal, right), largest = Math.max(0, ...down.map(Math.abs));
    for (let k = 0, share = 1; k < HALVINGS; k++, share /= 2) {
      const there = at.map((x, i) => x + share * down[i]), now = this.functions(there), less = now && squares(now);
      if (!now || less > cost) continue;
      Object.assign(this, { at: there, values: now, cost: less });
      this.done = (cost - less <= 1e-9 * (1 + cost) && largest < 1e-3) || largest < STILL || !n || this.steps >= MOST_STEPS;
      return;
    }
    this.done = true;
  }

  get covariance() { return inverseOf(this.normal); }

  // By how much less the sum of squares would be without each value, by the slopes of the last step.
  withoutEach() {
    const covariance = this.covariance;
    return this.values.map((value, k) => {
      const row = this.rows[k], held = row.reduce((sum, [i, a]) => sum + a * row.reduce((part, [j, b]) => part + b * covariance[i][j], 0), 0);
      return 1 - held > 1e-6 ? value * value / (1 - held) : 0;
    });
  }
}

// The same to its end; null where the functions have no value at the start.
function leastSquares(functions, start) {
  const way = new Descent(functions, [...start]);
  if (way.cost === null) return null;
  while (!way.done) way.step();
  return way;
}

// The slope of one value by differences to both sides, or to one where the other has none.
const slopeBy = (above, value, below) => above === null ? (below === null ? 0 : (value - below) / STEP) : below === null ? (above - value) / STEP : (above - below) / (2 * STEP);

function slopesOf(functions) {
  return (at, values) => {
    const rows = values.map(() => []);
    at.forEach((x, i) => {
      const changed = [...at];
      changed[i] = x + STEP;
      const above = functions(changed);
      changed[i] = x - STEP;
      const below = functions(changed);
      values.forEach((value, k) => rows[k].push([i, slopeBy(above && above[k], value, below && below[k])]));
    });
    return rows;
  };
}
