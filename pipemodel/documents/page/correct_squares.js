// Weighted least squares by Gauss and Newton: the twin of pipemodel/correction/least_squares.py.
"use strict";

const STEP = 1e-4, STILL = 1e-7, MOST_STEPS = 30, HALVINGS = 12;

const squares = (values) => values.reduce((sum, v) => sum + v * v, 0);

// The inverse of a symmetric positive definite matrix by Cholesky's method.
function inverseOf(matrix) {
  const n = matrix.length, lower = matrix.map(() => new Float64Array(n)), turned = matrix.map(() => new Float64Array(n));
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

// Where the sum of squares of `functions` is least, going from `start`: { at, cost, covariance }; null where it has no value.
function leastSquares(functions, start) {
  let at = [...start], values = functions(at);
  if (!values) return null;
  let cost = squares(values), covariance = [];
  for (let step = 0; step < MOST_STEPS; step++) {
    const rows = slopes(functions, at, values), n = at.length;
    const normal = rows.map((a) => rows.map((b) => { let v = 0; for (let k = 0; k < a.length; k++) v += a[k] * b[k]; return v; }));
    covariance = inverseOf(normal);
    const right = rows.map((row) => { let v = 0; for (let k = 0; k < row.length; k++) v -= row[k] * values[k]; return v; });
    const down = covariance.map((row) => row.reduce((sum, v, k) => sum + v * right[k], 0));
    let moved = null;
    for (let k = 0, share = 1; k < HALVINGS && !moved; k++, share /= 2) {
      const there = at.map((x, i) => x + share * down[i]), now = functions(there);
      if (now && squares(now) <= cost) moved = { there, now };
    }
    if (!moved) break;
    const less = squares(moved.now), largest = Math.max(0, ...down.map(Math.abs)), still = cost - less <= 1e-9 * (1 + cost) && largest < 1e-3;
    at = moved.there;
    values = moved.now;
    cost = less;
    if (still || largest < STILL || !n) break;
  }
  return { at, cost, covariance };
}

function slopes(functions, at, values) {
  return at.map((x, i) => {
    const changed = [...at];
    changed[i] = x + STEP;
    const above = functions(changed);
    changed[i] = x - STEP;
    const below = functions(changed);
    if (above && below) return above.map((a, k) => (a - below[k]) / (2 * STEP));
    if (above || below) return (above ?? below).map((a, k) => (a - values[k]) / (above ? STEP : -STEP));
    return values.map(() => 0);
  });
}
