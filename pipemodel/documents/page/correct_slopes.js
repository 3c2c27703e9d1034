// How what a check reads grows with the errors of mark, angle and turn of each bend, by the motion of the tube beyond it: the
// twin of pipemodel/correction/slopes.py. What it reads is in correct_piece.js.
"use strict";

// About what the tube beyond bend i turns as its mark (0), angle (1) or turn (2) grows, by mm or radian, and how a point of
// it then moves. A turn moves the bend itself as well.
function motionAt(p, what, i, point) {
  const { way } = p.legs[i], next = p.legs[i + 1];
  if (what === 0) return [NOWHERE, plus(way, next.way, -1)];
  const [about, from] = what === 1 ? [p.arcs[i].axis, next.start] : [way, p.arcs[i].start];
  return [about, crossp(about, plus(point, from, -1))];
}

const NOWHERE = [0, 0, 0];

// Points of a piece: its ends, in mm from there, and a share of an arc. `b` is the bend it belongs to, `own` how that bend
// moves it as mark, angle and turn grow.
const endOf = (p, end, ring) => ({ at: placeOf(p, end, ring), b: end === "start" ? -1 : p.arcs.length });
function ofArc(p, b, share) {
  const arc = p.arcs[b], at = onArc(arc, share), t = arc.angle * share * RAD;
  return { at, b, own: [arc.way, plus(arc.way.map((x) => x * share * arc.R * Math.cos(t)), arc.left, share * arc.R * Math.sin(t)), motionAt(p, 2, b, at)[1]] };
}

// Add up by how much a figure of a point grows that is seen from the leg before bend `frame`, or from the plane of that bend
// where it is `turned`: `slope` has it for a velocity of the point and a turning about it.
function seen(p, frame, turned, { at, b, own }, slope, add) {
  for (let i = 0; i < p.arcs.length; i++) for (let what = 0; what < (i ? 3 : 2); what++) {
    const beyond = i < b, before = i < frame || (turned && i === frame && what === 2);
    if (i !== b && beyond === before) continue;
    let about = NOWHERE, by = NOWHERE;
    if (beyond || before) [about, by] = motionAt(p, what, i, at);
    if (before) [about, by] = [plus(NOWHERE, about, -1), plus(NOWHERE, by, -1)];
    if (i === b) by = plus(own[what], by);
    add(what, i, slope(by, about));
  }
}

const fromLeg = (leg, point) => { const off = offLeg(leg, point), long = size(off) || 1; return (by) => dotp(off, by) / long; };
const heightGrows = (p, i, point, add, times = 1) => seen(p, i, true, point, (by) => times * dotp(p.arcs[i].axis, by), add);

// By what each kind of check grows: `add(what, bend, by)`, by mm or radian.
const GROWS = {
  angle: (p, c, add) => add(1, c.i, 1 / RAD),
  back: (p, c, add) => {
    if (c.leg < p.arcs.length) add(0, c.leg, 1);
    if (c.leg) { add(0, c.leg - 1, -1); add(1, c.leg - 1, -p.arcs[c.leg - 1].R); }
    for (const i of c.bends) if (p.arcs[i].angle < 90) add(1, i, (p.arcs[i].R + p.outside / 2) / 2 / Math.cos(p.arcs[i].angle * RAD / 2) ** 2);
  },
  apart: (p, c, add) => { const point = ofArc(p, c.two - 1, 1); seen(p, c.one, false, point, fromLeg(p.legs[c.one], point.at), add); },
  crown: (p, c, add) => { const point = ofArc(p, c.one + 1, crownOf(p, c)[1]); seen(p, c.one, false, point, fromLeg(p.legs[c.one], point.at), add); },
  off: (p, c, add) => { const point = endOf(p, c.end, 0); seen(p, c.leg, false, point, fromLeg(p.legs[c.leg], point.at), add); },
  across: (p, c, add) => { const to = plus(p.finish, p.legs[0].start, -1); seen(p, 0, false, endOf(p, "finish", 0), (by) => dotp(to, by) / size(to), add); },
  stand: (p, c, add) => {
    const { axis } = p.arcs[c.i], { way } = p.legs[c.end === "start" ? 0 : p.legs.length - 1], slope = dotp(axis, way), leans = p.outside / 2 * slope / Math.sqrt(Math.max(1e-12, 1 - slope * slope)), side = c.side ?? Math.sign(heightOf(p, c));
    seen(p, c.i, true, endOf(p, c.end, c.ring), (by, about) => side * dotp(axis, by) + leans * dotp(axis, crossp(about, way)), add);
  },
  aside: (p, c, add) => {
    const leg = c.i + (c.end === "finish"), across = crossp(p.arcs[c.i].axis, p.legs[leg].way);
    seen(p, leg, c.end === "start", endOf(p, c.end, c.ring), (by) => c.sign * dotp(across, by), add);
  },
  height: (p, c, add) => heightGrows(p, c.i, endOf(p, c.end, c.ring), add),
  gap: (p, c, add) => heightGrows(p, c.i, endOf(p, c.end, c.ring), add, c.side),
  gaps: (p, c, add) => {
    const { b, share } = gapsOf(p, c)[c.side > 0 ? 0 : 1];
    if (b !== undefined) heightGrows(p, c.i, share === undefined ? endOf(p, b < 0 ? "start" : "finish", 0) : ofArc(p, b, share), add, c.side);
  },
};
