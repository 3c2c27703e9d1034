// A piece bent up from its starts, angles and turns, and its checks read: the twin of pipemodel/bending and pipemodel/pulls.
"use strict";

const RAD = Math.PI / 180;
const plus = (a, b, k = 1) => [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]];
const dotp = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const crossp = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const size = (a) => Math.hypot(a[0], a[1], a[2]);
const halfTurn = (a) => { const b = ((a % 360) + 360) % 360; return b > 180 ? b - 360 : b; };

// Bend tube of a length up, its start at the origin going east, its first bend turning about up; null where there is no
// straight tube for that, unless `any`. Starts and radii in mm, angles and turns in degrees.
function bendUp({ starts, angles, turns, radii, length, outside }, any = false) {
  const legs = [], arcs = [], n = starts.length;
  let here = [0, 0, 0], ahead = [1, 0, 0], normal = [0, 0, 1], before = 0;
  for (let i = 0; i < n; i++) {
    const long = starts[i] - before, R = radii[i], angle = angles[i];
    if (!any && long < -1e-9) return null;
    if (i) normal = turned(normal, crossp(ahead, normal), turns[i]);
    const left = crossp(normal, ahead), c = Math.cos(angle * RAD), s = Math.sin(angle * RAD);
    legs.push({ start: here, way: ahead, long });
    here = plus(here, ahead, long);
    arcs.push({ start: here, way: ahead, axis: normal, left, R, angle });
    here = plus(plus(here, ahead, R * s), left, R * (1 - c));
    ahead = turned(ahead, left, angle);
    before = starts[i] + R * angle * RAD;
  }
  const long = length - before;
  if (!any && long < -1e-9) return null;
  legs.push({ start: here, way: ahead, long });
  return { legs, arcs, turns, outside, finish: plus(here, ahead, long), way: ahead };
}

// A direction turned so far towards another, square to it.
function turned(one, other, by) {
  const c = Math.cos(by * RAD), s = Math.sin(by * RAD);
  return [one[0] * c + other[0] * s, one[1] * c + other[1] * s, one[2] * c + other[2] * s];
}

const onArc = ({ start, way, left, R, angle }, share) => plus(plus(start, way, R * Math.sin(angle * share * RAD)), left, R * (1 - Math.cos(angle * share * RAD)));
const offLeg = ({ start, way }, point) => { const to = plus(point, start, -1); return plus(to, way, -dotp(to, way)); };

// How far the back of a bend lies beyond the end of its leg.
const backOf = ({ R, angle }, outside) => (R + outside / 2) * Math.min(1, Math.tan(angle * RAD / 2));

function placeOf(piece, end, ring) {
  const last = piece.legs[piece.legs.length - 1];
  return end === "start" ? plus(piece.legs[0].start, piece.legs[0].way, ring) : plus(last.start, last.way, last.long - ring);
}

// How far over the legs of a bend, laid flat, an end stands; above 0 where the bend turns to the left.
const heightOf = (piece, { i, end, ring }) => dotp(piece.arcs[i].axis, plus(placeOf(piece, end, ring), piece.arcs[i].start, -1));

// What each kind of check reads on a piece; docs/bending.md says what each is.
const READS = {
  angle: (p, c) => p.arcs[c.i].angle,
  back: (p, c) => p.legs[c.leg].long + c.bends.reduce((sum, i) => sum + backOf(p.arcs[i], p.outside), 0),
  apart: (p, c) => size(offLeg(p.legs[c.one], p.legs[c.two].start)) + c.d * p.outside,
  crown: (p, c) => {
    let most = 0;
    for (let k = 0; k <= 16; k++) most = Math.max(most, size(offLeg(p.legs[c.one], onArc(p.arcs[c.one + 1], k / 16))));
    return most + p.outside;
  },
  off: (p, c) => size(offLeg(p.legs[c.leg], placeOf(p, c.end, 0))) - p.outside / 2,
  across: (p) => size(plus(p.finish, p.legs[0].start, -1)),
  stand: (p, c) => {
    const slope = dotp(p.arcs[c.i].axis, p.legs[c.end === "start" ? 0 : p.legs.length - 1].way);
    return Math.abs(heightOf(p, c)) + p.outside / 2 * (1 - Math.sqrt(Math.max(0, 1 - slope * slope)));
  },
  aside: (p, c) => {
    const leg = p.legs[c.i + (c.end === "finish")];
    return c.sign * dotp(crossp(p.arcs[c.i].axis, leg.way), plus(placeOf(p, c.end, c.ring), leg.start, -1));
  },
  height: (p, c) => heightOf(p, c),
  gap: (p, c) => Math.abs(heightOf(p, c)),
  gaps: (p, c) => p.legs.reduce((most, leg) => [leg.start, plus(leg.start, leg.way, leg.long)].reduce((m, point) => Math.max(m, Math.abs(dotp(p.arcs[c.i].axis, plus(point, p.arcs[c.i].start, -1)))), most), 0),
  caliper: () => 0,
  legUp: (p, c) => {
    const leg = p.legs[c.j + (c.j > c.i)], far = Math.min(leg.long, c.far), point = plus(leg.start, leg.way, c.j > c.i ? far : leg.long - far);
    const high = dotp(p.arcs[c.i].axis, plus(point, p.arcs[c.i].start, -1));
    return c.up * high >= c.least ? c.up : -c.up;
  },
  hand: (p, c) => { const high = heightOf(p, c); return Math.abs(high) < c.least ? 0 : Math.sign(high); },
  round: (p, c) => { const turn = Math.abs(halfTurn(p.turns[c.i])); return turn <= c.near ? 1 : turn >= 180 - c.near ? -1 : 0; },
};
