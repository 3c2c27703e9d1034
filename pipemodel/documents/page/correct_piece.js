// A piece bent up from its starts, angles and turns, and its checks read: the twin of pipemodel/bending and pipemodel/pulls.
"use strict";

const RAD = Math.PI / 180;
const plus = (a, b, k = 1) => [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]];
const dotp = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const crossp = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const size = (a) => Math.hypot(a[0], a[1], a[2]);
const halfTurn = (a) => { const b = ((a % 360) + 360) % 360; return b > 180 ? b - 360 : b; };

// A piece of so many bends, to be bent up in place.
function pieceOf(radii, length, outside) {
  const legs = [0, ...radii].map(() => ({ start: [0, 0, 0], way: [1, 0, 0], long: 0 }));
  const arcs = radii.map((R) => ({ start: [0, 0, 0], way: [1, 0, 0], axis: [0, 0, 1], left: [0, 1, 0], R, angle: 0, c: 1, s: 0, turnC: 1, turnS: 0 }));
  return { legs, arcs, turns: radii.map(() => 0), length, outside, finish: [0, 0, 0], way: [1, 0, 0] };
}

const put = (to, x, y, z) => { to[0] = x; to[1] = y; to[2] = z; };

// Bend tube of a length up, its start at the origin going east, its first bend turning about up; null where there is no
// straight tube for that, unless `any`. Starts and radii in mm, angles and turns in degrees.
function bendUp({ starts, angles, turns, radii, length, outside }, any = false) {
  const piece = pieceOf(radii, length, outside);
  return bendInto(piece, starts, angles, turns, any) ? piece : null;
}

// The same in place; whether there is straight tube for that, or `any`.
function bendInto(piece, starts, angles, turns, any) {
  const { legs, arcs } = piece, n = arcs.length;
  let x = 0, y = 0, z = 0, ax = 1, ay = 0, az = 0, nx = 0, ny = 0, nz = 1, before = 0;
  for (let i = 0; i <= n; i++) {
    const leg = legs[i], long = (i < n ? starts[i] : piece.length) - before;
    if (!any && long < -1e-9) return false;
    put(leg.start, x, y, z);
    put(leg.way, ax, ay, az);
    leg.long = long;
    x += long * ax; y += long * ay; z += long * az;
    if (i === n) break;
    const arc = arcs[i], { R } = arc, angle = angles[i];
    // Most of a piece is the same time after time.
    if (arc.angle !== angle) { arc.angle = angle; arc.c = Math.cos(angle * RAD); arc.s = Math.sin(angle * RAD); }
    if (piece.turns[i] !== turns[i]) { piece.turns[i] = turns[i]; arc.turnC = Math.cos(turns[i] * RAD); arc.turnS = Math.sin(turns[i] * RAD); }
    const { c, s } = arc;
    if (i) {
      const tc = arc.turnC, ts = arc.turnS, bx = ay * nz - az * ny, by = az * nx - ax * nz, bz = ax * ny - ay * nx;
      nx = nx * tc + bx * ts; ny = ny * tc + by * ts; nz = nz * tc + bz * ts;
    }
    const lx = ny * az - nz * ay, ly = nz * ax - nx * az, lz = nx * ay - ny * ax, on = R * s, up = R * (1 - c);
    put(arc.start, x, y, z);
    put(arc.way, ax, ay, az);
    put(arc.axis, nx, ny, nz);
    put(arc.left, lx, ly, lz);
    x += on * ax + up * lx; y += on * ay + up * ly; z += on * az + up * lz;
    ax = ax * c + lx * s; ay = ay * c + ly * s; az = az * c + lz * s;
    before = starts[i] + R * angle * RAD;
  }
  put(piece.finish, x, y, z);
  put(piece.way, ax, ay, az);
  return true;
}

const onArc = ({ start, way, left, R, angle }, share) => plus(plus(start, way, R * Math.sin(angle * share * RAD)), left, R * (1 - Math.cos(angle * share * RAD)));
const offLeg = ({ start, way }, point) => { const to = plus(point, start, -1); return plus(to, way, -dotp(to, way)); };

// How far the back of a bend lies beyond the end of its leg.
const backOf = ({ R, angle }, outside) => (R + outside / 2) * Math.min(1, Math.tan(angle * RAD / 2));

// The leg that is looked at: that of an end, or the one beyond bend `past` towards it.
const legOf = (piece, { end, past }) => piece.legs[end === "start" ? past ?? 0 : (past ?? piece.legs.length - 2) + 1];

// A place on it: `ring` mm from that end, or from the back of bend `past`.
function placeOf(piece, { end, ring, past }) {
  const leg = legOf(piece, { end, past }), far = past === undefined ? ring : leg.long + backOf(piece.arcs[past], piece.outside) - ring;
  return plus(leg.start, leg.way, end === "start" ? far : leg.long - far);
}

// How far over the legs of a bend, laid flat, an end stands; above 0 where the bend turns to the left.
const heightOf = (piece, c) => dotp(piece.arcs[c.i].axis, plus(placeOf(piece, c), piece.arcs[c.i].start, -1));

// The ends of the other legs that stand furthest above and below the legs of a bend, laid flat: how far, and the share of which
// arc, or which end of the tube, they are.
function gapsOf(p, { i }) {
  const most = [{ far: -Infinity }, { far: -Infinity }], last = p.arcs.length, look = (point, b, share) => {
    const high = dotp(p.arcs[i].axis, plus(point, p.arcs[i].start, -1));
    if (high > most[0].far) most[0] = { far: high, b, share };
    if (-high > most[1].far) most[1] = { far: -high, b, share };
  };
  if (i > 0) look(p.legs[0].start, -1);
  if (i < last - 1) look(p.finish, last);
  for (let b = 0; b < last; b++) {
    if (b < i || b > i + 1) look(p.arcs[b].start, b, 0);
    if (b > i || b < i - 1) look(p.legs[b + 1].start, b, 1);
  }
  return most;
}

// How far the middle of the tube of the bend after a leg stands off it at the most, and at what share of its arc.
function crownOf(p, { one }) {
  let most = [0, 0];
  for (let k = 0; k <= 16; k++) { const far = size(offLeg(p.legs[one], onArc(p.arcs[one + 1], k / 16))); if (far > most[0]) most = [far, k / 16]; }
  return most;
}

// What each kind of check reads on a piece; docs/bending.md says what each is.
const READS = {
  angle: (p, c) => p.arcs[c.i].angle,
  back: (p, c) => p.legs[c.leg].long + c.bends.reduce((sum, i) => sum + backOf(p.arcs[i], p.outside), 0),
  apart: (p, c) => size(offLeg(p.legs[c.one], p.legs[c.two].start)) + c.d * p.outside,
  crown: (p, c) => crownOf(p, c)[0] + p.outside,
  off: (p, c) => size(offLeg(p.legs[c.i], placeOf(p, c))) + c.d * p.outside / 2,
  corner: (p, { i, ring }) => size(plus(placeOf(p, { end: "start", ring, past: i }), placeOf(p, { end: "finish", ring, past: i }), -1)),
  across: (p) => size(plus(p.finish, p.legs[0].start, -1)),
  stand: (p, c) => {
    const slope = dotp(p.arcs[c.i].axis, legOf(p, c).way);
    return READS.gap(p, c) + p.outside / 2 * (1 - Math.sqrt(Math.max(0, 1 - slope * slope)));
  },
  aside: (p, c) => {
    const leg = p.legs[c.i + (c.end === "finish")];
    return c.sign * dotp(crossp(p.arcs[c.i].axis, leg.way), plus(placeOf(p, c), leg.start, -1));
  },
  height: (p, c) => heightOf(p, c),
  gap: (p, c) => c.side ? c.side * heightOf(p, c) : Math.abs(heightOf(p, c)),
  gaps: (p, c) => { const [above, below] = gapsOf(p, c); return c.side ? (c.side > 0 ? above : below).far : Math.max(above.far, below.far, 0); },
  caliper: () => 0,
  legUp: (p, c) => {
    const leg = p.legs[c.j + (c.j > c.i)], far = Math.min(leg.long, c.far), point = plus(leg.start, leg.way, c.j > c.i ? far : leg.long - far);
    const high = dotp(p.arcs[c.i].axis, plus(point, p.arcs[c.i].start, -1));
    return c.up * high >= c.least ? c.up : -c.up;
  },
  hand: (p, c) => { const high = heightOf(p, c), far = heightOf(p, { ...c, ring: 0 }); return Math.abs(high) < c.least || high * far < 0 ? 0 : Math.sign(high); },
  round: (p, c) => { const turn = Math.abs(halfTurn(p.turns[c.i])); return turn <= c.near ? 1 : turn >= 180 - c.near ? -1 : 0; },
};
