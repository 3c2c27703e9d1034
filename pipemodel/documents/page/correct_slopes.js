// How what a check reads grows with the errors of mark, angle and turn of each bend, by the motion of the tube beyond it: the
// twin of pipemodel/correction/slopes.py. What it reads is in correct_piece.js.
"use strict";

// About what the tube beyond bend i turns as its mark (0), angle (1) or turn (2) grows, by mm or radian, and how a point of
// it then moves: into `about` and `by`, times `sign`. A turn moves the bend itself as well.
function motionInto(p, what, i, point, sign, about, by) {
  const leg = p.legs[i], next = p.legs[i + 1];
  if (what === 0) { for (let k = 0; k < 3; k++) { about[k] = 0; by[k] = sign * (leg.way[k] - next.way[k]); } return; }
  const w = what === 1 ? p.arcs[i].axis : leg.way, from = what === 1 ? next.start : p.arcs[i].start, x = point[0] - from[0], y = point[1] - from[1], z = point[2] - from[2];
  for (let k = 0; k < 3; k++) about[k] = sign * w[k];
  by[0] = about[1] * z - about[2] * y; by[1] = about[2] * x - about[0] * z; by[2] = about[0] * y - about[1] * x;
}

// By how much further beyond its leg the back of a bend lies as its angle grows.
const backGrows = ({ R, angle }, outside) => angle < 90 ? (R + outside / 2) / 2 / Math.cos(angle * RAD / 2) ** 2 : 0;

// Points of a piece: an end or a ring, and a share of an arc. `b` is the bend it belongs to, `own` how that bend moves it as
// mark, angle and turn grow; `slides` how it moves along its leg as mark and angle of bend `past` grow, from whose back it is.
function endOf(p, c) {
  const at = placeOf(p, c), { past } = c, on = c.end === "finish";
  if (past === undefined) return { at, b: on ? p.arcs.length : -1 };
  const grows = backGrows(p.arcs[past], p.outside);
  return { at, b: past + on, past, slides: [1, on ? p.arcs[past].R - grows : grows, 0].map((by) => legOf(p, c).way.map((x) => x * by)) };
}
function ofArc(p, b, share) {
  const arc = p.arcs[b], at = onArc(arc, share), t = arc.angle * share * RAD;
  return { at, b, own: [arc.way, plus(arc.way.map((x) => x * share * arc.R * Math.cos(t)), arc.left, share * arc.R * Math.sin(t)), crossp(p.legs[b].way, plus(at, arc.start, -1))] };
}

// Add up by how much a figure of a point grows that is seen from the leg before bend `frame`, or from the plane of that bend
// where it is `turned`: `slope` has it for a velocity of the point and a turning about it.
function seen(p, frame, turned, { at, b, own, past, slides }, slope, add) {
  const about = [0, 0, 0], by = [0, 0, 0];
  for (let i = 0; i < p.arcs.length; i++) for (let what = 0; what < (i ? 3 : 2); what++) {
    const beyond = i < b, before = i < frame || (turned && i === frame && what === 2);
    if (i !== b && beyond === before) continue;
    if (beyond || before) motionInto(p, what, i, at, before ? -1 : 1, about, by);
    else for (let k = 0; k < 3; k++) about[k] = by[k] = 0;
    if (i === b && own) for (let k = 0; k < 3; k++) by[k] += own[what][k];
    if (i === past) for (let k = 0; k < 3; k++) by[k] += slides[what][k];
    add(what, i, slope(by, about));
  }
}

const fromLeg = (leg, point) => { const off = offLeg(leg, point), long = size(off) || 1; return (by) => dotp(off, by) / long; };
const heightGrows = (p, i, point, add, times = 1) => seen(p, i, true, point, (by) => times * dotp(p.arcs[i].axis, by), add);

// By what each kind of check grows: `add(what, bend, by)`, by mm or radian.
const GROWS = {
  angle: (p, c, add) => add(1, c.i, 1 / RAD),
  corner: (p, { i, ring }, add) => {
    const arc = p.arcs[i], half = arc.angle * RAD / 2;
    add(1, i, (arc.R - 2 * backGrows(arc, p.outside)) * Math.cos(half) - (ring - backOf(arc, p.outside)) * Math.sin(half));
  },
  back: (p, c, add) => {
    if (c.leg < p.arcs.length) add(0, c.leg, 1);
    if (c.leg) { add(0, c.leg - 1, -1); add(1, c.leg - 1, -p.arcs[c.leg - 1].R); }
    for (const i of c.bends) add(1, i, backGrows(p.arcs[i], p.outside));
  },
  apart: (p, c, add) => { const point = ofArc(p, c.two - 1, 1); seen(p, c.one, false, point, fromLeg(p.legs[c.one], point.at), add); },
  crown: (p, c, add) => { const point = ofArc(p, c.one + 1, crownOf(p, c)[1]); seen(p, c.one, false, point, fromLeg(p.legs[c.one], point.at), add); },
  off: (p, c, add) => { const point = endOf(p, c); seen(p, c.i, false, point, fromLeg(p.legs[c.i], point.at), add); },
  across: (p, c, add) => { const to = plus(p.finish, p.legs[0].start, -1); seen(p, 0, false, endOf(p, { end: "finish", ring: 0 }), (by) => dotp(to, by) / size(to), add); },
  stand: (p, c, add) => {
    const { axis } = p.arcs[c.i], { way } = legOf(p, c), slope = dotp(axis, way), leans = p.outside / 2 * slope / Math.sqrt(Math.max(1e-12, 1 - slope * slope)), side = c.side ?? Math.sign(heightOf(p, c));
    seen(p, c.i, true, endOf(p, c), (by, about) => side * dotp(axis, by) + leans * dotp(axis, crossp(about, way)), add);
  },
  aside: (p, c, add) => {
    const leg = c.i + (c.end === "finish"), across = crossp(p.arcs[c.i].axis, p.legs[leg].way);
    seen(p, leg, c.end === "start", endOf(p, c), (by) => c.sign * dotp(across, by), add);
  },
  height: (p, c, add) => heightGrows(p, c.i, endOf(p, c), add),
  gap: (p, c, add) => heightGrows(p, c.i, endOf(p, c), add, c.side),
  gaps: (p, c, add) => {
    const { b, share } = gapsOf(p, c)[c.side > 0 ? 0 : 1];
    if (b !== undefined) heightGrows(p, c.i, share === undefined ? endOf(p, { end: b < 0 ? "start" : "finish", ring: 0 }) : ofArc(p, b, share), add, c.side);
  },
};
