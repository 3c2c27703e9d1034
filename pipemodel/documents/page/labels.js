// Words over the picture: HTML, so that they stay sharp. Each stands beside what it names, off every tube, off every other
// word and its line; where there is no such place it is hidden, the less important ones first. Lengths are drawn as on a
// drawing.
"use strict";

const NOTE_KINDS = ["clash", "mark", "bend", "end", "ghost", "joint", "run", "clip", "length", "thing"];
const ALWAYS = 4, CROWD = 30, NEVER = 1e7;
const LINE_SPOTS = [0.5, 0.3, 0.7];
const NEAR = [16, 40, 72], FAR = [110, 150, 200], LEAST_HALF = 3.5;

class Labels {
  constructor(host, strokes, covers) {
    this.host = host;
    this.strokes = strokes;
    this.covers = covers;
    this.notes = [];
    this.lengths = [];
    this.tubes = [];
  }

  // Notes: {kind, text, head?, anchors: points, out?}; lengths: {from, to, text}; tubes: {points, radius}, kept free.
  say(notes, lengths, tubes) {
    this.tubes = tubes;
    this.lengths = lengths;
    const all = [...notes, ...lengths.map((d) => ({ kind: "length", text: d.text, length: d, anchors: [d.from] }))];
    this.notes = all.map((note) => {
      const e = document.createElement("span");
      e.className = `tag ${note.kind}`;
      if (note.head) e.append(Object.assign(document.createElement("b"), { textContent: note.head }));
      if (note.text) e.append(Object.assign(document.createElement("bdi"), { textContent: note.text }));
      return { ...note, e, rank: NOTE_KINDS.indexOf(note.kind), was: 0 };
    }).sort((a, b) => a.rank - b.rank);
    this.host.replaceChildren(...this.notes.map((n) => n.e));
    for (const n of this.notes) { n.w = n.e.offsetWidth + 4; n.h = n.e.offsetHeight + 4; }
    this.wide = 0;
  }

  // What lies on the picture is no place for words: buttons.
  measure(w, h) {
    this.wide = w;
    this.high = h;
    this.over = this.covers.map((e) => ({ x: e.offsetLeft + e.offsetWidth / 2, y: e.offsetTop + e.offsetHeight / 2, w: e.offsetWidth, h: e.offsetHeight }));
  }

  // `scale` is px to the mm.
  place(flat, w, h, moving, scale) {
    if (this.wide !== w || this.high !== h) this.measure(w, h);
    const taken = [...this.over], drawn = [], lines = [], axes = this.tubes.map((tube) => tube.points.map(flat));
    const tubes = axes.flatMap((axis, i) => axis.slice(1).map((b, k) => [axis[k], b, Math.max(this.tubes[i].radius * scale, LEAST_HALF)]));
    const sum = V.scale(axes.flat().reduce((a, p) => [a[0] + p[0], a[1] + p[1], 0], [0, 0, 0]), 1 / Math.max(axes.flat().length, 1));
    for (const note of this.notes) {
      // In a crowded room the names of its things wait until the picture rests.
      if (moving && note.kind === "thing" && this.notes.length > CROWD) { note.e.style.visibility = "hidden"; continue; }
      const best = this.best(note, flat, sum, { taken, tubes, lines }, w, h), seen = best && best.cost < NEVER;
      note.e.style.visibility = seen ? "visible" : "hidden";
      if (!seen) continue;
      note.was = best.i;
      taken.push({ x: best.x, y: best.y, w: note.w, h: note.h });
      note.e.style.transform = `translate(${best.x.toFixed(1)}px, ${best.y.toFixed(1)}px) translate(-50%, -50%)`;
      if (best.path) drawn.push(best.path);
      lines.push(...best.lines);
      if (best.leader) drawn.push(`M${xy(best.leader[0])}L${xy(best.leader[1])}`);
      if (best.leader && note.kind === "thing") drawn.push(`M${xy(best.leader[0])}m-2 0a2 2 0 1 0 4 0a2 2 0 1 0 -4 0`);
    }
    this.strokes.setAttribute("viewBox", `0 0 ${w} ${h}`);
    this.strokes.firstElementChild.setAttribute("d", drawn.join(""));
  }

  // The best place for a note, where it was first, so that words do not jump about; none if what it names is out of sight.
  best(note, flat, sum, there, w, h) {
    const home = note.length ? null : flat(note.anchors[0]);
    if (note.rank < ALWAYS && home && (home[0] < -2 || home[1] < -2 || home[0] > w + 2 || home[1] > h + 2)) return null;
    const spots = note.length ? this.alongLength(note, flat, sum) : this.around(note, flat);
    let best = null;
    for (const i of [note.was, ...spots.keys()]) {
      if (!spots[i]) continue;
      const cost = this.cost(note, spots[i], i, there, w, h);
      if (!best || cost < best.cost) best = { ...spots[i], cost, i };
      if (cost < 3) break;
    }
    return best;
  }

  // Places round each anchor: on the side it asks for first, then nearer before farther. The name of a thing stands on
  // it, or beside it with a line.
  around(note, flat) {
    const spots = [], rings = [...(note.kind === "thing" ? [0] : []), ...NEAR, ...(note.rank < ALWAYS || note.kind === "run" ? FAR : [])];
    note.anchors.forEach((anchor, order) => {
      const from = flat(anchor);
      let first = -Math.PI / 2;
      if (note.out) { const o = flat(V.add(anchor, note.out)), dx = o[0] - from[0], dy = o[1] - from[1]; if (Math.hypot(dx, dy) > 1e-6) first = Math.atan2(dy, dx); }
      for (const far of rings) for (const turn of far ? [0, 40, -40, 80, -80, 125, -125, 180] : [0]) {
        const a = first + turn * Math.PI / 180, c = Math.cos(a), s = Math.sin(a);
        const reach = far && far + Math.min(note.w / 2 / Math.max(Math.abs(c), 1e-6), note.h / 2 / Math.max(Math.abs(s), 1e-6)) - 4;
        const spot = { x: from[0] + c * reach, y: from[1] + s * reach, far: far / 6 + Math.abs(turn) / 60 + order / 4, lines: [] };
        if (reach > Math.max(note.h, 20)) { spot.leader = leader(from, spot, note); spot.lines = [[...spot.leader, 1]]; }
        spots.push(spot);
      }
    });
    return spots;
  }

  // A length is drawn beside its leg, on the side away from the rest of the tube; not at all when seen nearly end on.
  alongLength(note, flat, sum) {
    const a = flat(note.length.from), b = flat(note.length.to), dx = b[0] - a[0], dy = b[1] - a[1], n = Math.hypot(dx, dy);
    if (n < note.w * 0.8) return [];
    const u = [dx / n, dy / n], away = (sum[0] - a[0]) * -u[1] + (sum[1] - a[1]) * u[0] > 0 ? -1 : 1;
    return [away, -away].flatMap((side) => {
      const v = [-u[1] * side, u[0] * side], off = (p, far) => [p[0] + v[0] * far, p[1] + v[1] * far], p = off(a, 24), q = off(b, 24);
      const barb = (t, k) => [0.35, -0.35].map((lean) => `M${xy(t)}l${xy([(u[0] * k + v[0] * lean) * 8, (u[1] * k + v[1] * lean) * 8])}`).join("");
      const path = `M${xy(off(a, 6))}L${xy(off(a, 28))}M${xy(off(b, 6))}L${xy(off(b, 28))}M${xy(p)}L${xy(q)}${barb(p, 1)}${barb(q, -1)}`;
      return LINE_SPOTS.map((t) => ({ x: p[0] + (q[0] - p[0]) * t, y: p[1] + (q[1] - p[1]) * t, far: Math.abs(t - 0.5) + (side === away ? 0 : 1), path, lines: [] }));
    });
  }

  cost(note, spot, i, { taken, tubes, lines }, w, h) {
    const left = spot.x - note.w / 2, top = spot.y - note.h / 2;
    const out = Math.max(0, -left, -top, left + note.w - w, top + note.h - h);
    if (out > 0 && (note.rank >= ALWAYS || out >= 400)) return NEVER;
    const own = { x: spot.x, y: spot.y, w: note.w, h: note.h };
    if (taken.some((t) => Math.abs(own.x - t.x) < (own.w + t.w) / 2 && Math.abs(own.y - t.y) < (own.h + t.h) / 2)) return NEVER;
    if (tubes.some((s) => crosses(s, own)) || lines.some((s) => crosses(s, own))) return NEVER;
    if (spot.lines.some((s) => taken.some((t) => crosses(s, t)))) return NEVER;
    return spot.far - (i === note.was ? 1.5 : 0) + (out && 40 + out);
  }
}

// Whether a stroke [from, to, half its width] touches a box about its middle.
function crosses([a, b, half], box) {
  let from = 0, to = 1;
  for (const [i, middle, reach] of [[0, box.x, box.w / 2 + half], [1, box.y, box.h / 2 + half]]) {
    const start = a[i] - middle, way = b[i] - a[i];
    if (Math.abs(way) < 1e-9) { if (Math.abs(start) >= reach) return false; continue; }
    const s = (-reach - start) / way, t = (reach - start) / way;
    from = Math.max(from, Math.min(s, t));
    to = Math.min(to, Math.max(s, t));
  }
  return from < to;
}

const xy = (p) => `${p[0].toFixed(1)} ${p[1].toFixed(1)}`;

// A thin line from what is named to the edge of its words.
function leader(from, spot, note) {
  const dx = from[0] - spot.x, dy = from[1] - spot.y, k = Math.min(note.w / 2 / Math.max(Math.abs(dx), 1e-6), note.h / 2 / Math.max(Math.abs(dy), 1e-6), 1);
  return [from, [spot.x + dx * k, spot.y + dy * k]];
}
