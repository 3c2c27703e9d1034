// Straight tube, bent as far as asked: the same arithmetic as the schedule, so that the picture moves as the
// tube does. Lengths in mm, angles in degrees; a run is what the page's data holds of it.
"use strict";

const V = {
  add: (a, b) => [a[0] + b[0], a[1] + b[1], a[2] + b[2]],
  sub: (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]],
  scale: (a, k) => [a[0] * k, a[1] * k, a[2] * k],
  dot: (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2],
  cross: (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]],
  len: (a) => Math.hypot(a[0], a[1], a[2]),
  unit: (a) => { const n = Math.hypot(a[0], a[1], a[2]) || 1; return [a[0] / n, a[1] / n, a[2] / n]; },
  along: (p, d, s) => [p[0] + d[0] * s, p[1] + d[1] * s, p[2] + d[2] * s],
  turn(v, k, degrees) {
    const a = degrees * Math.PI / 180, c = Math.cos(a), s = Math.sin(a), w = V.cross(k, v), d = V.dot(k, v) * (1 - c);
    return [v[0] * c + w[0] * s + k[0] * d, v[1] * c + w[1] * s + k[1] * d, v[2] * c + w[2] * s + k[2] * d];
  },
};

// Rings along the tube: centre, heading and side (the inside of the bend plane), where each bend is made to
// `angles[i]` of its angle. Tube not yet bent keeps its length: the arc is straight where the angle is 0.
function bentTube(run, angles, base) {
  let { here, ahead, normal } = base;
  const rings = [], marks = [], frames = [], ends = [];
  const push = (s) => rings.push({ at: here, ahead, side: V.cross(normal, ahead), s });
  let s = 0;
  push(0);
  run.bends.forEach((bend, i) => {
    if (bend.turn) normal = V.turn(normal, ahead, bend.turn);
    here = V.along(here, ahead, bend.before);
    s += bend.before;
    push(s);
    frames.push({ at: here, ahead, normal });
    const angle = angles[i], first = { at: here, ahead, normal };
    if (angle > 1e-6) {
      const radius = bend.arc / (angle * Math.PI / 180), steps = Math.max(2, Math.ceil(angle / 6));
      const centre = V.along(here, V.cross(normal, ahead), radius), spoke = V.sub(here, centre);
      for (let k = 1; k <= steps; k++) {
        here = V.add(centre, V.turn(spoke, normal, angle * k / steps));
        ahead = V.turn(first.ahead, normal, angle * k / steps);
        push(s + bend.arc * k / steps);
      }
    } else {
      here = V.along(here, ahead, bend.arc);
      push(s + bend.arc);
    }
    s += bend.arc;
    ends.push({ at: here, ahead, normal });
    // Seen from outside the bend, at its middle, for the number.
    const middle = rings[Math.max(0, rings.length - 1 - (angle > 1e-6 ? Math.ceil(Math.max(2, angle / 6) / 2) : 0))];
    marks.push({ number: bend.number, at: middle.at, out: V.scale(middle.side, -1), mark: bend.mark });
  });
  here = V.along(here, ahead, run.after);
  push(s + run.after);
  return { rings, marks, frames, ends };
}

// The tube laid so that bend `i` begins at the origin, held to the left (west) and pulled away to the north: the
// view of the person at the bender. Held by its finish side, the tube is turned end for end first.
function atBender(run, angles, i, held) {
  const origin = { here: [0, 0, 0], ahead: [1, 0, 0], normal: [0, 0, 1] };
  const made = bentTube(run, angles, origin), f = made.frames[i];
  let at = f.at, x = f.ahead, z = f.normal;
  if (held === "finish") {
    const far = made.ends[i];
    at = far.at; x = V.scale(far.ahead, -1); z = V.scale(far.normal, -1);
  }
  const y = V.cross(z, x), into = (v) => [V.dot(v, x), V.dot(v, y), V.dot(v, z)];
  const move = (p) => into(V.sub(p, at));
  return {
    rings: made.rings.map((r) => ({ ...r, at: move(r.at), ahead: into(r.ahead), side: into(r.side) })),
    marks: made.marks.map((m) => ({ ...m, at: move(m.at), out: into(m.out) })),
  };
}

// Where along the tube `s` lies: the point and the heading there.
function placeAt(rings, s) {
  let k = 1;
  while (k < rings.length - 1 && rings[k].s < s) k++;
  const a = rings[k - 1], b = rings[k], t = b.s > a.s ? (s - a.s) / (b.s - a.s) : 0;
  return { at: V.add(V.scale(a.at, 1 - t), V.scale(b.at, t)), ahead: V.unit(V.add(V.scale(a.ahead, 1 - t), V.scale(b.ahead, t))), side: a.side };
}

// Triangles of a round bar of `radius` along the rings, with flat ends. Each ring keeps the side of its bend
// plane; between planes the side is carried along, so that nothing twists or pinches.
function tubeTriangles(rings, radius, sides) {
  const position = [], normal = [], index = [];
  let side = rings[0].side;
  const circle = [];
  for (let j = 0; j < sides; j++) circle.push([Math.cos(2 * Math.PI * j / sides), Math.sin(2 * Math.PI * j / sides)]);
  const ring = (r, flat) => {
    const up = V.cross(r.ahead, side);
    for (const [c, s] of circle) {
      const d = V.add(V.scale(side, c), V.scale(up, s));
      position.push(...V.along(r.at, d, radius));
      normal.push(...(flat || d));
    }
  };
  rings.forEach((r) => {
    side = V.unit(V.sub(side, V.scale(r.ahead, V.dot(side, r.ahead))));
    ring(r);
  });
  for (let k = 0; k + 1 < rings.length; k++) for (let j = 0; j < sides; j++) {
    const a = k * sides + j, b = k * sides + (j + 1) % sides;
    index.push(a, b, a + sides, b, b + sides, a + sides);
  }
  for (const [r, sign] of [[rings[0], -1], [rings[rings.length - 1], 1]]) {
    side = V.unit(V.sub(side, V.scale(r.ahead, V.dot(side, r.ahead))));
    const first = position.length / 3;
    ring(r, V.scale(r.ahead, sign));
    for (let j = 1; j + 1 < sides; j++) index.push(...(sign < 0 ? [first, first + j + 1, first + j] : [first, first + j, first + j + 1]));
  }
  return { position: new Float32Array(position), normal: new Float32Array(normal), index: new Uint32Array(index) };
}

// Triangles that came with the page: corners as base64 of little-endian floats, each face its own normal.
function trianglesFrom(text) {
  const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
  const position = new Float32Array(bytes.buffer), normal = new Float32Array(position.length);
  for (let i = 0; i < position.length; i += 9) {
    const p = (k) => [position[i + 3 * k], position[i + 3 * k + 1], position[i + 3 * k + 2]];
    const n = V.unit(V.cross(V.sub(p(1), p(0)), V.sub(p(2), p(0))));
    for (let k = 0; k < 3; k++) normal.set(n, i + 3 * k);
  }
  const index = new Uint32Array(position.length / 3);
  for (let i = 0; i < index.length; i++) index[i] = i;
  return { position, normal, index };
}
