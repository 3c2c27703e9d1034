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
  mix: (a, b, t) => [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t, a[2] + (b[2] - a[2]) * t],
  square: (d) => { const k = Math.abs(d[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0]; return V.unit(V.cross(k, d)); },
  turn(v, k, degrees) {
    const a = degrees * Math.PI / 180, c = Math.cos(a), s = Math.sin(a), w = V.cross(k, v), d = V.dot(k, v) * (1 - c);
    return [v[0] * c + w[0] * s + k[0] * d, v[1] * c + w[1] * s + k[1] * d, v[2] * c + w[2] * s + k[2] * d];
  },
};

const FLAT = { here: [0, 0, 0], ahead: [1, 0, 0], normal: [0, 0, 1] };

// Rings along the tube: centre, heading and side (the inside of the bend plane), where bend i is made to
// `angles[i]`. Tube not yet bent keeps its length: the arc is straight where the angle is 0. `after` is the straight
// behind the last bend. `s` of a ring is its place on the flat tube.
function bentTube(run, angles, base, after) {
  let { here, ahead, normal } = base;
  const rings = [], bends = [];
  let s = 0;
  const push = (at) => rings.push({ at: here, ahead, side: V.cross(normal, ahead), s: at });
  push(0);
  run.bends.forEach((bend, i) => {
    if (bend.turn) normal = V.turn(normal, ahead, bend.turn);
    here = V.along(here, ahead, bend.before);
    s += bend.before;
    push(s);
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
    bends.push({ number: bend.number, s: s - bend.arc / 2, made: angle > 1e-6, first, last: { at: here, ahead, normal } });
  });
  here = V.along(here, ahead, after);
  push(s + after);
  for (const bend of bends) {
    const middle = placeAt(rings, bend.s);
    bend.at = middle.at;
    bend.out = V.scale(middle.side, -1);
  }
  return { rings, bends };
}

// The tube laid in the bender that is about to bend bend `i`, in the frame of docs/bending.md: the centre of the
// former is the origin, the held side lies to the left along minus x, the free side along x, and swings clockwise; then
// as the bender stands before whoever pulls.
function atBender(run, angles, i, held, after) {
  const made = bentTube(run, angles, FLAT, after), radius = run.bends[i].radius, bend = made.bends[i];
  const begin = held === "finish" ? bend.last : bend.first;
  const x = held === "finish" ? V.scale(begin.ahead, -1) : begin.ahead;
  const z = held === "finish" ? begin.normal : V.scale(begin.normal, -1), y = V.cross(z, x);
  const into = (v) => standing(run, [V.dot(v, x), V.dot(v, y), V.dot(v, z)]);
  const move = (p) => V.add(into(V.sub(p, begin.at)), standing(run, [0, radius, 0]));
  return {
    rings: made.rings.map((r) => ({ ...r, at: move(r.at), ahead: into(r.ahead), side: into(r.side) })),
    bends: made.bends.map((b) => ({ ...b, at: move(b.at), out: into(b.out) })),
  };
}

// A mesh in the bender's frame, as whoever pulls sees it.
function meshStanding(run, mesh) {
  if (run.stance !== "upright") return mesh;
  const turned = (all) => { const out = new Float32Array(all.length); for (let i = 0; i < all.length; i += 3) out.set(standing(run, all.subarray(i, i + 3)), i); return out; };
  return { ...mesh, position: turned(mesh.position), normal: turned(mesh.normal) };
}

// Where on the tube `s` lies: the point, the heading and the side there.
function placeAt(rings, s) {
  let k = 1;
  while (k < rings.length - 1 && rings[k].s < s) k++;
  const a = rings[k - 1], b = rings[k], t = b.s > a.s ? (s - a.s) / (b.s - a.s) : 0;
  return { at: V.mix(a.at, b.at, t), ahead: V.unit(V.mix(a.ahead, b.ahead, t)), side: V.unit(V.mix(a.side, b.side, t)), s };
}

// The rings of a stretch of the tube.
function stretch(rings, from, to) {
  return [placeAt(rings, from), ...rings.filter((r) => r.s > from && r.s < to), placeAt(rings, to)];
}

// Rings along a line through some points, for an arrow: `size` of a ring makes it thicker.
function ringsThrough(points) {
  return points.map((at, i) => {
    const ahead = V.unit(V.sub(points[Math.min(i + 1, points.length - 1)], points[Math.max(i - 1, 0)]));
    return { at, ahead, side: V.square(ahead), s: i };
  });
}

// The way the free side swings: an arrow about the origin, of radius 1, from `from` to `to` degrees of pull.
function swingArrow(from, to) {
  const points = [], steps = Math.max(6, Math.ceil((to - from) / 4));
  for (let k = 0; k <= steps; k++) {
    const a = (90 - from - (to - from) * k / steps) * Math.PI / 180;
    points.push([Math.cos(a), Math.sin(a), 0]);
  }
  const rings = ringsThrough(points), last = rings[rings.length - 1], thick = 0.015;
  const head = { ...last, size: 3.2 }, tip = { ...last, at: V.along(last.at, last.ahead, thick * 7), size: 0.05 };
  return tubeTriangles([...rings, head, tip], thick, 12);
}

// Triangles of a round bar of `radius` along the rings, with flat ends. Each ring keeps the side of its bend
// plane; between planes the side is carried along, so that nothing twists or pinches.
function tubeTriangles(rings, radius, sides) {
  const position = [], normal = [], index = [], circle = [];
  let side = rings[0].side;
  for (let j = 0; j < sides; j++) circle.push([Math.cos(2 * Math.PI * j / sides), Math.sin(2 * Math.PI * j / sides)]);
  const ring = (r, flat) => {
    const up = V.cross(r.ahead, side);
    for (const [c, s] of circle) {
      const d = V.add(V.scale(side, c), V.scale(up, s));
      position.push(...V.along(r.at, d, radius * (r.size || 1)));
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

// Corners that came with the page, base64 of little-endian numbers: how many places, the places, which each corner stands at.
function cornersFrom(text) {
  const { buffer } = Uint8Array.from(atob(text), (c) => c.charCodeAt(0)), count = new Uint32Array(buffer, 0, 1)[0];
  const places = new Float32Array(buffer, 4, 3 * count), which = new (count < 65536 ? Uint16Array : Uint32Array)(buffer, 4 + 12 * count);
  const position = new Float32Array(3 * which.length);
  for (let i = 0; i < which.length; i++) for (let k = 0; k < 3; k++) position[3 * i + k] = places[3 * which[i] + k];
  return position;
}

// Triangles that came with the page, each face with its own normal.
function trianglesFrom(text) {
  const position = cornersFrom(text), normal = new Float32Array(position.length);
  for (let i = 0; i < position.length; i += 9) {
    const p = (k) => [position[i + 3 * k], position[i + 3 * k + 1], position[i + 3 * k + 2]];
    const n = V.unit(V.cross(V.sub(p(1), p(0)), V.sub(p(2), p(0))));
    for (let k = 0; k < 3; k++) normal.set(n, i + 3 * k);
  }
  const index = new Uint32Array(position.length / 3);
  for (let i = 0; i < index.length; i++) index[i] = i;
  return { position, normal, index };
}

// Several meshes as one, so that they are drawn at one go.
function joined(meshes) {
  const long = (k) => meshes.reduce((n, m) => n + m[k].length, 0);
  const all = { position: new Float32Array(long("position")), normal: new Float32Array(long("position")), index: new Uint32Array(long("index")) };
  let points = 0, places = 0;
  for (const m of meshes) {
    all.position.set(m.position, points * 3);
    all.normal.set(m.normal, points * 3);
    m.index.forEach((k, i) => { all.index[places + i] = k + points; });
    points += m.position.length / 3;
    places += m.index.length;
  }
  return all;
}

// Lines that came with the page, two points each.
function linesFrom(text) {
  const position = cornersFrom(text);
  return { position, normal: new Float32Array(position.length), index: Uint32Array.from({ length: position.length / 3 }, (_, i) => i) };
}
