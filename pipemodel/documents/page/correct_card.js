// What a card still to come has to say otherwise, once the bends before it are not as planned: the twin of card_mark.py,
// card_level.py and stance.py in pipemodel/pulls, and of change_said in pipemodel/correction/sentences.py.
"use strict";

const LEAST_MARK_MM = 0.375, LEAST_PULL_DEG = 0.125, LEAST_LINE_DEG = 0.5, LEAST_BACK_MM = 0.75, LEAST_LEVEL_DEG = 1, SQUARE_DEG = 0.5;

// A direction of the bender's frame as whoever pulls sees it: to the right, away from them, up.
function standing(run, [x, y, z]) { return run.stance === "upright" ? [x, -z, y] : [x, y, z]; }

const arcEnd = (run, rows, i) => rows.starts[i] + run.bends[i].radius * rows.angles[i] * RAD;

// The nearest bends made before pull k below and above the bend it makes; undefined where there is none.
function nearestTo(run, k) {
  const made = run.pulls.slice(0, k).map((p) => p.bend), i = run.pulls[k].bend, below = made.filter((n) => n < i), above = made.filter((n) => n > i);
  return [below.length ? Math.max(...below) : undefined, above.length ? Math.min(...above) : undefined];
}

const markOf = (run, rows, { bend, held }) => held === "start" ? rows.starts[bend] + run.bends[bend].mark : arcEnd(run, rows, bend) - run.bends[bend].mark;

// Where the tape finds the mark of pull k from the back of a bend made: { bend, far, meets }; null where it cannot.
function backBefore(run, rows, k) {
  const pull = run.pulls[k], near = nearestTo(run, k), mark = markOf(run, rows, pull);
  for (const bend of pull.held === "start" ? near : near.reverse()) {
    if (bend === undefined) continue;
    const along = bend < pull.bend ? mark - arcEnd(run, rows, bend) : rows.starts[bend] - mark, angle = rows.angles[bend];
    if (along >= 0) return { bend, far: along + backOf({ R: run.bends[bend].radius, angle }, run.outside), meets: angle < 90 - SQUARE_DEG };
  }
  return null;
}

// How the tube beyond the nearest bend made stands before pull k: { bend, above, stands }; null at the first pull.
function levelBefore(run, rows, k) {
  const { bend, held } = run.pulls[k], [below, above] = nearestTo(run, k), kept = held === "start" ? below : above, near = kept ?? (held === "start" ? above : below);
  if (near === undefined) return null;
  // Going outwards from the pull along the held side, or along the free one; a turn keeps its sign either way.
  const way = kept === undefined ? 1 : -1, by = rows.planes[near] - rows.planes[bend], turn = (near > bend ? by : -by) * RAD, a = rows.angles[near] * RAD;
  const ahead = [way, 0, 0], axis = plus([0, 0, -way * Math.cos(turn)], crossp(ahead, [0, 0, -way]), Math.sin(turn));
  const out = standing(run, plus(ahead.map((v) => v * Math.cos(a)), crossp(axis, ahead), Math.sin(a))), high = Math.asin(Math.max(-1, Math.min(1, out[2]))) / RAD;
  return { bend: near, above: high, stands: standsAs(out, high) };
}

function standsAs([x, y], above) {
  if (Math.abs(above) >= 90 - SQUARE_DEG) return above > 0 ? "plumb up" : "plumb down";
  const way = Math.abs(y) >= Math.abs(x) ? (y < 0 ? "towards you" : "away from you") : x > 0 ? "right" : "left";
  return `${Math.abs(above) <= SQUARE_DEG ? "level" : above > 0 ? "above" : "below"} ${way}`;
}

// What is otherwise at pull k with the bends as in `rows`: { mark, back, pull, line, level }, each where it is otherwise.
function otherwiseAt(run, rows, k) {
  const pull = run.pulls[k], bend = run.bends[pull.bend], planned = rowsOf(plannedAims(run)), out = {};
  const mark = markOf(run, rows, pull), to = pullOf(bend, rows.angles[pull.bend]), back = backBefore(run, rows, k), was = backBefore(run, planned, k);
  if (Math.abs(mark - pull.mark) >= LEAST_MARK_MM) out.mark = mark;
  if (back && (out.mark !== undefined || !was || was.bend !== back.bend || Math.abs(back.far - was.far) >= LEAST_BACK_MM)) out.back = back;
  // Where the back of a bend is no longer to be found, the tape goes from the end alone.
  if (was && !back) out.back = null;
  if (Math.abs(to - pull.pull) >= LEAST_PULL_DEG) out.pull = to;
  const last = run.pulls[k - 1].bend, round = halfTurn(rows.planes[pull.bend] - rows.planes[last]), more = halfTurn(round - (bend.plane - run.bends[last].plane));
  if (Math.abs(more) >= LEAST_LINE_DEG) out.line = { round, more, last };
  const level = levelBefore(run, rows, k), before = levelBefore(run, planned, k);
  if (out.line || Math.abs(level.above - before.above) >= LEAST_LEVEL_DEG || level.stands.split(" ").pop() !== before.stands.split(" ").pop()) out.level = level;
  return out;
}
