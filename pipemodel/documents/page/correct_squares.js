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

// Where the sum of squares of `functions` is least, going from `at`; null where they have no value there.
function* leastSquares(functions, at) {
  let values = functions(at);
  const n = at.length, dot = (a, b) => a.reduce((sum, v, i) => sum + v * b[i], 0);
  for (let step = 0; values && step < MOST_STEPS; step++) {
    yield;
    const columns = at.map((_, i) => slopesBy(functions, at, i, values)), normal = Float64Array.from({ length: n * n }, (_, k) => dot(columns[Math.floor(k / n)], columns[k % n]));
    const down = Float64Array.from(columns, (column) => -dot(column, values)), cost = squares(values), from = at;
    solve(lowerOf(normal, n), down);
    let less = null;
    for (let k = 0, share = 1; k < HALVINGS && less === null; k++, share /= 2) {
      const there = from.map((x, i) => x + share * down[i]), now = functions(there);
      if (now && squares(now) <= cost) { less = cost - squares(now); at = there; values = now; }
    }
    const largest = down.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
    if (less === null || largest < STILL || (less <= 1e-9 * (1 + cost) && largest < 1e-3)) break;
  }
  return values && at;
}

// Slopes by one unknown, by differences to both sides, or to one where the other has no value.
function slopesBy(functions, at, unknown, values) {
  const changed = (by) => functions(at.map((x, i) => i === unknown ? x + by : x)), above = changed(STEP), below = changed(-STEP), over = STEP * (!!above + !!below);
  return values.map((v, k) => over ? ((above ?? values)[k] - (below ?? values)[k]) / over : 0);
}
