// The bends still to come, bent for the best finish, and what to do: the twin of pipemodel/correction/whole.py, replan.py,
// unsure.py, at_the_end.py and answer.py. What stands in the room, and what the piece and the bender are clear of, is not looked at.
"use strict";

const DIRECTION_DEG = 3, PARTS = 5, CHANGE = [40, 12, 12], WANTING = 0.02, SPARE_MM = 0.05, LEAST_DEG = 1, LEAST_WITHIN_MM = 0.5, EDGE = 1e-9;
const SHORT_DEG = 0.5, WELL = 0.25, WORTH = 0.1, TRIMMED_MM = 1, SLACK_MM = 1e-6;

const plannedAims = (run) => run.bends.map(({ start, angle, plane }) => ({ start, angle, plane }));

// Where the finish of a whole run is, by its starts, angles and planes, and which way it points.
function landed(run, { starts, angles, planes }) {
  const turns = planes.map((plane, i) => i ? plane - planes[i - 1] : 0);
  return bendUp({ starts, angles, turns, radii: run.bends.map((b) => b.radius), length: run.length, outside: run.outside }, true);
}

const drawnOf = (run) => { const aims = plannedAims(run); return landed(run, rowsOf(aims)); };
const rowsOf = (aims) => ({ starts: aims.map((a) => a.start), angles: aims.map((a) => a.angle), planes: aims.map((a) => a.plane) });

// How far a finish is off: in the frame of the start, square to its last leg, along it, and in direction.
function missOf(run, rows, by = [0, 0, 0]) {
  const now = landed(run, rows), drawn = drawnOf(run), off = plus(plus(now.finish, drawn.finish, -1), by), along = dotp(off, drawn.way);
  return { off, along, sideways: size(plus(off, drawn.way, -along)), direction: Math.atan2(size(crossp(now.way, drawn.way)), dotp(now.way, drawn.way)) / RAD };
}

// How much of what may be off is used up: 1 and less fits.
function shareOf(run, miss) {
  const along = miss.along < 0 || run.trim <= 0 ? Math.abs(miss.along) : 0, [sideways, far] = run.within;
  return Math.max(miss.sideways > EDGE ? miss.sideways / sideways : 0, along > EDGE ? along / (far + run.trim) : 0, miss.direction / DIRECTION_DEG);
}

// The run with the bends made as they probably are, and the others as `rest` has them, set out from the bend pulled last.
function wholeWith(found, aims, last, rest) {
  const rows = { starts: [...rest.starts], angles: [...rest.angles], planes: [] }, planes = new Map();
  let turned = 0;
  for (const bend of found.bends) {
    turned += bend.off[0];
    planes.set(bend.bend, aims[bend.bend].plane + turned);
    rows.starts[bend.bend] = bend.start[0];
    rows.angles[bend.bend] = bend.angle[0];
  }
  const by = planes.get(last) - rest.planes[last];
  rows.planes = rest.planes.map((plane, i) => planes.get(i) ?? plane + by);
  return rows;
}

// What a bend to come lacks of straight to hold and to guide, with the bends `made`; and how far it goes too far.
function wantingAt(run, rows, pull, made) {
  const i = pull.bend, bend = run.bends[i], arc = (k) => rows.starts[k] + run.bends[k].radius * rows.angles[k] * RAD;
  const below = made.filter((k) => k < i), above = made.filter((k) => k > i);
  const left = rows.starts[i] - (below.length ? arc(Math.max(...below)) : 0), right = (above.length ? rows.starts[Math.min(...above)] : run.cut) - arc(i);
  const [hold, guide] = pull.held === "start" ? [left, right] : [right, left];
  return { hold: bend.hold - hold, guide: guideOf(bend, rows.angles[i]) - guide, far: pullOf(bend, rows.angles[i]) - bend.most };
}

const pullOf = (bend, angle) => angle + bend.fixed + bend.per * angle;

function guideOf(bend, angle) {
  const a = Math.max(angle, LEAST_DEG), needed = bend.block === null ? bend.guide : Math.max(bend.guide, bend.block - bend.radius * a * RAD);
  return needed + bend.travel * pullOf(bend, a) / 90;
}

// Whether the pulls to come can be held and guided in their order.
function canBePulled(run, rows, count) {
  const made = run.pulls.slice(0, count).map((pull) => pull.bend);
  return run.pulls.slice(count).every((pull) => {
    const { hold, guide } = wantingAt(run, rows, pull, made);
    made.push(pull.bend);
    return hold <= SLACK_MM && guide <= SLACK_MM;
  });
}

// The bends to come changed so that the finish lands best.
function* replanned(run, rows, count) {
  const toCome = run.pulls.slice(count), drawn = drawnOf(run), [one, two] = asideOf(drawn.way), [sideways, far] = run.within;
  const parts = { sideways: Math.max(sideways, LEAST_WITHIN_MM) / PARTS, along: Math.max((far + run.trim) / PARTS, LEAST_WITHIN_MM), way: DIRECTION_DEG / PARTS };
  const changed = (by) => {
    const now = { starts: [...rows.starts], angles: [...rows.angles], planes: [...rows.planes] };
    toCome.forEach(({ bend }, k) => { now.starts[bend] += by[3 * k]; now.angles[bend] += by[3 * k + 1]; now.planes[bend] += by[3 * k + 2]; });
    return now;
  };
  const functions = (by) => {
    const now = changed(by);
    if (Math.min(...now.angles) <= 0) return null;
    const { finish, way } = landed(run, now), off = plus(finish, drawn.finish, -1), values = [
      dotp(off, one) / parts.sideways, dotp(off, two) / parts.sideways, dotp(off, drawn.way) / parts.along,
      dotp(way, one) / RAD / parts.way, dotp(way, two) / RAD / parts.way, Math.max(0, -dotp(way, drawn.way)) / RAD / parts.way,
      ...by.map((v, i) => v / CHANGE[i % 3]),
    ];
    const made = run.pulls.slice(0, count).map((pull) => pull.bend);
    for (const pull of toCome) {
      const w = wantingAt(run, now, pull, made);
      values.push(Math.max(0, w.hold + SPARE_MM) / WANTING, Math.max(0, w.guide + SPARE_MM) / WANTING, Math.max(0, w.far, LEAST_DEG - now.angles[pull.bend]) / WANTING);
      made.push(pull.bend);
    }
    return values;
  };
  return changed((yield* leastSquares(functions, toCome.flatMap(() => [0, 0, 0]))) ?? toCome.flatMap(() => [0, 0, 0]));
}

function asideOf(way) {
  const aside = crossp(Math.abs(way[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0], way), one = aside.map((v) => v / size(aside));
  return [one, crossp(way, one)];
}

// What to do after each of some blocks of { after, readings, sides, corrected }, in the order of the pulls: into `out`, one by one.
function* answering(run, blocks, out) {
  const known = run.known ??= new Map();
  let rest = rowsOf(plannedAims(run)), aims = plannedAims(run), readings = {}, sides = {}, answer = null;
  for (const block of blocks) {
    if (block.corrected && answer) {
      const last = run.pulls[answer.after - 1].bend, made = new Set(answer.found.bends.map((b) => b.bend)), now = answer.rows, was = aims;
      rest = now;
      aims = was.map((aim, i) => made.has(i) ? aim : { start: now.starts[i], angle: now.angles[i], plane: was[last].plane + now.planes[i] - now.planes[last] });
    }
    // A bend that was pulled on since: what was read of it before holds no more.
    if (block.corrected && answer?.verdict === "pull on") readings = Object.fromEntries(Object.entries(readings).filter(([id]) => parseInt(id, 10) !== answer.after));
    readings = { ...readings, ...block.readings };
    sides = { ...sides, ...block.sides };
    // What was answered before is not worked out again when the next pull is read.
    const asked = JSON.stringify(blocks.slice(0, out.length + 1));
    answer = known.get(asked) ?? (yield* afterPull(run, block.after, { readings, sides }, aims, rest));
    known.set(asked, answer);
    out.push(answer);
  }
}

// Which bends are further out of round than a bend may be: [bend, by how much, the most].
function flattenedOf(run, readings) {
  return run.pulls.flatMap((pull) => pull.checks.filter((c) => c.reads.kind === "caliper" && readings[c.id]).map((c) => [pull.bend, readings[c.id].reduce((a, b) => a + b, 0) / readings[c.id].length, 2 * c.within])).filter(([, by, most]) => by > most);
}

function* afterPull(run, count, read, aims, rest) {
  const answer = yield* byShape(run, count, read, aims, rest), flat = flattenedOf(run, read.readings);
  return flat.length ? { after: count, found: { ...answer.found, bends: [], mistakes: [], alone: [], openSides: [] }, rows: answer.rows, miss: answer.miss, changed: false, verdict: "recut", flat } : answer;
}

function* byShape(run, count, { readings, sides }, aims, rest) {
  const made = new MadePiece(run, count, aims), found = yield* estimateOf(made, observationsOf(run, readings, sides)), pull = run.pulls[count - 1], whole = wholeWith(found, aims, pull.bend, rest);
  const answer = { after: count, found, rows: whole, miss: missOf(run, whole), changed: false };
  if (found.again.length) return { ...answer, verdict: "contradiction", again: found.again };
  // What is pulled on is never opened again.
  const asked = found.alone.length ? { ...answer, verdict: "contradiction", again: found.alone, alone: true } : null;
  const bent = found.bends.find((b) => b.bend === pull.bend);
  if (bent.aim.angle - bent.angle[0] >= SHORT_DEG && bent.angle[2] < bent.aim.angle) {
    const on = { starts: [...whole.starts], angles: [...whole.angles], planes: whole.planes }, more = bent.aim.angle - bent.angle[0];
    on.angles[pull.bend] = bent.aim.angle;
    if (pull.held === "finish") on.starts[pull.bend] -= run.bends[pull.bend].radius * more * RAD;
    const { trim, slip, ...best } = count < run.pulls.length ? yield* bestRest(run, on, count) : atTheEnd(run, on);
    if (!best.wrong) return asked ?? { ...answer, ...best, verdict: "pull on", on: { angle: bent.aim.angle, more, scale: pull.pull + more * (1 + run.bends[pull.bend].per) } };
  }
  const noSide = answer.noSide = found.openSides.filter((check) => sides[check] === 0), open = found.openSides.filter((check) => !noSide.includes(check));
  if (open.length && sideMatters(run, count, found, aims, pull.bend, rest)) return { ...answer, verdict: "which side", sides: open };
  // In the middle of both sides it is surely not: the better one shows whether it may do.
  const better = () => noSide.length ? found.either.map((bends) => wholeWith({ bends }, aims, pull.bend, rest)).reduce((a, b) => shareOf(run, missOf(run, b)) < shareOf(run, missOf(run, a)) ? b : a) : whole;
  const best = count < run.pulls.length ? yield* bestRest(run, whole, count) : atTheEnd(run, better());
  const verdict = best.wrong ? "recut" : best.verdict ?? (best.changed ? "change" : "go on");
  if (verdict === "recut" && asked) return { ...asked, ...best, noSide, verdict: "contradiction" };
  const unsure = unsureOf(run, made, found.likely, best.rows), left = best.left ?? best.miss;
  const shown = shareOf(run, { sideways: left.sideways + unsure.sideways, along: -Math.abs(left.along) - unsure.along, direction: left.direction + unsure.direction }) <= 1 && !(noSide.length && count === run.pulls.length);
  const unread = pull.checks.filter((c) => c.unit !== "look" && c.reads.kind !== "caliper" && !readings[c.id]).map((c) => c.id);
  return { ...answer, ...best, verdict, unsure, shown, unread };
}

// Within what the finish lies, 19 times in 20, of where it lands: square to its last leg, along it, and in direction.
function unsureOf(run, made, likely, rows) {
  const { way: drawn } = drawnOf(run), [one, two] = asideOf(drawn), none = made.sd.map(() => 0), was = made.figures(none), last = made.bends.indexOf(made.pulls.at(-1).bend);
  const landing = (by) => {
    const now = made.figures(by), more = (what, place) => now[what][place] - was[what][place];
    // The planes of the bends to come are set out from the one pulled last.
    const moved = (row, what) => row.map((v, i) => { const place = made.bends.indexOf(i); return place >= 0 ? v + more(what, place) : what === 2 ? v + more(2, last) : v; });
    const { finish, way } = landed(run, { starts: moved(rows.starts, 0), angles: moved(rows.angles, 1), planes: moved(rows.planes, 2) });
    return [dotp(finish, one), dotp(finish, two), dotp(finish, drawn), dotp(way, one) / RAD, dotp(way, two) / RAD];
  };
  const step = 0.01, slopes = none.map((_, i) => { const [more, less] = [step, -step].map((by) => landing(none.map((_, k) => k === i ? by : 0))); return more.map((v, k) => (v - less[k]) / 2 / step); }), at = landing(none);
  const ways = likely.map(({ by, covariance }) => {
    const off = landing(by).map((v, k) => v - at[k]), both = (a, b) => slopes.reduce((sum, row, i) => sum + slopes.reduce((own, other, j) => own + row[a] * covariance[i][j] * other[b], 0), 0);
    // The standard deviation along the longer axis of the ellipse of two figures.
    const widest = (a, b) => Math.sqrt(Math.max((both(a, a) + both(b, b)) / 2 + Math.hypot((both(a, a) - both(b, b)) / 2, both(a, b)), 0));
    return [Math.hypot(off[0], off[1]) + Z_95 * widest(0, 1), Math.abs(off[2]) + Z_95 * Math.sqrt(Math.max(both(2, 2), 0)), Math.hypot(off[3], off[4]) + Z_95 * widest(3, 4)];
  });
  const [sideways, along, direction] = [0, 1, 2].map((k) => Math.max(...ways.map((way) => way[k])));
  return { sideways, along, direction };
}

// Whether readings leave open to which side a bend is twisted, and one of these is not well as planned.
function sideMatters(run, count, { either }, aims, last, rest) {
  const most = count < run.pulls.length ? WELL : 1;
  return either.some((bends) => shareOf(run, missOf(run, wholeWith({ bends }, aims, last, rest))) > most);
}

// How to go on: as planned where that is as good, else with the bends to come changed; or why it will not do.
function* bestRest(run, rows, count) {
  const fits = canBePulled(run, rows, count), unchanged = shareOf(run, missOf(run, rows));
  let best = rows, changed = false, can = fits;
  if ((!fits || unchanged > WELL) && count < run.pulls.length) {
    const other = yield* replanned(run, rows, count), works = canBePulled(run, other, count);
    if (works && (!fits || unchanged - shareOf(run, missOf(run, other)) >= WORTH)) { best = other; changed = can = true; }
  }
  const miss = missOf(run, best), short = { ...miss, along: Math.min(miss.along, 0) };
  return { rows: best, miss, changed, wrong: !can || shareOf(run, short) > 1, cannot: !can };
}

function atTheEnd(run, rows) {
  const miss = missOf(run, rows), base = { rows, miss, changed: false, wrong: false }, { way } = landed(run, rows), by = -miss.along / dotp(way, drawnOf(run).way), cut = miss.along > 0 ? missOf(run, rows, way.map((v) => v * by)) : miss;
  if (shareOf(run, miss) <= 1) {
    const trim = Math.max(run.trim + miss.along, 0);
    return run.trim <= 0 || Math.abs(trim - run.trim) < TRIMMED_MM ? { ...base, verdict: "go on" } : { ...base, verdict: "trim", trim, left: cut };
  }
  if (miss.along > 0 && shareOf(run, cut) <= 1) return { ...base, verdict: "trim", trim: run.trim + miss.along, left: cut };
  const slip = Math.max(-run.within[1], Math.min(run.within[1], -miss.off[0])), left = missOf(run, rows, [slip, 0, 0]);
  if (shareOf(run, left) <= 1) return { ...base, verdict: "change", slip, left };
  return { ...base, wrong: true };
}

// Made-up readings that contradict each other, to be answered while nothing else is to be done: the engine has then compiled
// what answers the first that is typed in.
function warmUp(run) {
  const readings = {};
  run.pulls.forEach((pull, k) => pull.checks.forEach(({ id, value, unit }, i) => { readings[id] = [unit === "look" ? value : value + [0.5, 3, -2][(k + i) % 3]]; }));
  return answering({ ...run, known: undefined }, [{ after: run.pulls.length, readings }], []);
}
