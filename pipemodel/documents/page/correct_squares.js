// Weighted least squares by Gauss and Newton: the twin of pipemodel/correction/least_squares.py.
"use strict";

const STEP = 1e-4, STILL = 1e-7, MOST_STEPS = 30, HALVINGS = 12;

const squares = (values) => values.reduce((sum, v) => sum + v * v, 0);

// The lower triangle L of a symmetric positive definite matrix L L' of n rows, by Cholesky's method; `matrix` has it below.
function lowerOf(matrix, n) {
  const lower = new Float64Array(n * n);
  for (let j = 0; j < n; j++) for (let i = j; i < n; i++) {
    let v = matrix[i * n + j];
    for (let k = 0; k < j; k++) v -= lower[i * n + k] * lower[j * n + k];
    lower[i * n + j] = i > j ? v / lower[j * n + j] : Math.sqrt(Math.max(v, 1e-300));
  }
  return lower;
}

// The inverse of such a matrix, row by row.
function inverseOf(matrix, n) {
  const lower = lowerOf(matrix, n), rows = Array.from({ length: n }, () => new Float64Array(n));
  rows.forEach((row, i) => { row[i] = 1; solve(lower, row); });
  return rows;
}

// Solve a set of normal equations, by their lower triangle, in place.
function solve(lower, right) {
  const n = right.length;
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) right[i] -= lower[i * n + k] * right[k];
    right[i] /= lower[i * n + i];
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) right[i] -= lower[k * n + i] * right[k];
    right[i] /= lower[i * n + i];
  }
}

// The way down to where the sum of squares of `functions` is least, step by step from `at`; `cost` is null where they have
// no value there. `slopes` gives for each value the unknowns that move it, each followed by how much.
class Descent {
  constructor(functions, at, slopes = slopesOf(functions)) {
    Object.assign(this, { functions, at, slopes, values: functions(at), normal: [], steps: 0 });
    this.cost = this.values && squares(this.values);
    this.done = this.cost === null;
  }

  step() {
    const { at, values, cost } = this, n = at.length, normal = new Float64Array(n * n), down = new Float64Array(n);
    this.rows = this.slopes(at, values);
    this.rows.forEach((row, k) => {
      for (let i = 0; i < row.length; i += 2) {
        const place = row[i], a = row[i + 1];
        down[place] -= a * values[k];
        for (let j = 0; j < row.length; j += 2) if (row[j] <= place) normal[place * n + row[j]] += a * row[j + 1];
      }
    });
    this.normal = normal;
    this.steps++;
    solve(lowerOf(normal, n), down);
    const largest = down.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
    for (let k = 0, share = 1; k < HALVINGS; k++, share /= 2) {
      const there = at.map((x, i) => x + share * down[i]), now = this.functions(there), less = now && squares(now);
      if (!now || less > cost) continue;
      Object.assign(this, { at: there, values: now, cost: less });
      this.done = (cost - less <= 1e-9 * (1 + cost) && largest < 1e-3) || largest < STILL || !n || this.steps >= MOST_STEPS;
      return;
    }
    this.done = true;
  }

  get covariance() { return inverseOf(this.normal, this.at.length); }

  // By how much less the sum of squares would be without each value, by the slopes of the last step.
  withoutEach() {
    const covariance = this.covariance;
    return Array.from(this.values, (value, k) => {
      const row = this.rows[k];
      let held = 0;
      for (let i = 0; i < row.length; i += 2) for (let j = 0; j < row.length; j += 2) held += row[i + 1] * row[j + 1] * covariance[row[i]][row[j]];
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
      values.forEach((value, k) => rows[k].push(i, slopeBy(above && above[k], value, below && below[k])));
    });
    return rows;
  };
}
