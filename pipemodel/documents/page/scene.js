// What the picture shows at each step: the straight tube with its marks, the piece in the bender, the piece in its
// place. One scene for as long as the page is open; `load` gives it another job and leaves the camera as it is.
"use strict";

const SIDES = 20, FRONT = [0, 18], MOST_POINTS = 600;
const COPPER = [0.80, 0.44, 0.20, 1], PALE_COPPER = [0.80, 0.44, 0.20, 0.4], GHOST = [0.80, 0.44, 0.20, 0.25];
const INK_BLUE = [0.09, 0.29, 0.55, 1], STEEL = [0.50, 0.53, 0.57, 1], BENCH = [0.50, 0.53, 0.57, 0.35], LEVER = [0.36, 0.40, 0.45, 1], ARROW = [0.07, 0.45, 0.25, 1];
const HIT = [0.72, 0.10, 0.10, 0.22], HIT_EDGE = [0.72, 0.10, 0.10, 1], THERE = [0.56, 0.47, 0.40, 1], LAGGING = [0.30, 0.55, 0.35, 0.3], CLIP = [0.25, 0.25, 0.28, 1];

// Where a run may be named: its middle first.
const spotsOf = (rings) => [0.5, 0, 1, 0.25, 0.75].map((share) => rings[Math.floor(share * (rings.length - 1))].at);

class Scene {
  constructor(lost) {
    const el = (id) => document.getElementById(id);
    this.labels = new Labels(el("labels"), el("strokes"), [el("zoom"), el("shows")]);
    this.view = new View(el("view"), (...seen) => this.labels.place(...seen), lost);
    el("shows").addEventListener("toggle", () => { this.labels.wide = 0; this.view.draw(); });
    this.dark = matchMedia("(prefers-color-scheme: dark)");
    this.dark.addEventListener("change", () => this.paint());
  }

  load(data) {
    this.data = data;
    const view = this.view;
    if (!view.gl) return;
    view.clear();
    this.room = [["walls", (t) => t.endless && !t.hit], ["things", (t) => !t.endless && !t.hit], ["hit", (t) => t.hit]].map(([name, is]) => this.seeThrough(name, data.room.filter(is)));
    this.placed = data.runs.map((run) => {
      const made = bentTube(run, run.bends.map((b) => b.angle), run.base, run.after), r = run.outside / 2;
      return {
        made,
        tube: view.add(tubeTriangles(made.rings, r, SIDES), COPPER, { bar: r, least: 3 }),
        lagging: run.insulated.map(([from, to]) => view.add(tubeTriangles(stretch(made.rings, from, to), r + run.insulation, SIDES), LAGGING)),
        clips: run.clips.map((clip) => this.clip(run, made, clip)),
      };
    });
    this.loose = { tube: this.part(COPPER, 7), ghost: this.part(GHOST, 7), mark: this.part(INK_BLUE, 12), opening: this.part(INK_BLUE, 3), arrow: this.part(ARROW, 0), wheel: this.part(STEEL, 0) };
    this.loose.arrow.atLeast = 80;
    this.marks = [];
    this.benders = data.pieces.map((run) => run.bender ? run.bender.parts.map((p) => ({ ...p, mesh: trianglesFrom(p.triangles), part: this.part({ lever: LEVER, room: BENCH }[p.moves] || STEEL, 0) })) : null);
    this.paint();
  }

  part(colour, least) {
    return this.view.add({ position: new Float32Array(3), normal: new Float32Array(3), index: new Uint32Array(0) }, colour, { shown: false, least });
  }

  // Things of one look are drawn together: seen through as faintly as this, their order makes no difference.
  seeThrough(name, things) {
    const faces = joined(things.map((t) => trianglesFrom(t.triangles))), edges = joined(things.map((t) => linesFrom(t.edges)));
    // A wall has a face only, and nobody looks through it from behind.
    return { name, face: this.view.add(faces, [0, 0, 0, 0.1], { oneSided: name === "walls" }), edges: this.view.add(edges, [0, 0, 0, 1], { lines: true }) };
  }

  clip(run, made, clip) {
    const r = run.outside / 2, ring = tubeTriangles(stretch(made.rings, clip.s - 6, clip.s + 6), r * 1.25, SIDES);
    const foot = tubeTriangles(ringsThrough([clip.point, clip.face]), Math.min(4, r * 0.6), 8);
    return [this.view.add(ring, CLIP, { bar: r * 1.25, least: 5 }), this.view.add(foot, CLIP, { bar: 4, least: 2 })];
  }

  paint() {
    if (!this.view.gl) return;
    const dark = this.dark.matches;
    this.view.paper = getComputedStyle(this.view.canvas).backgroundColor.match(/[\d.]+/g).slice(0, 3).map((c) => c / 255);
    for (const look of this.room || []) {
      const alpha = look.name === "walls" ? 0.07 : 0.11, hit = look.name === "hit";
      look.face.colour = hit ? HIT : dark ? [0.62, 0.70, 0.78, alpha] : [0.30, 0.40, 0.50, alpha];
      look.edges.colour = hit ? HIT_EDGE : dark ? [0.56, 0.62, 0.68, 1] : [0.50, 0.56, 0.62, 1];
    }
    this.view.ask();
  }

  // Show a step: {run, piece, view, before, bend, held}, pulled to `pull` degrees or brought in as far as that share, with what is asked for. Run -1 is
  // all of them. `fresh` lets the camera go to where the step is seen best.
  show(step, pull, wants, fresh) {
    if (!this.view.gl) return;
    const place = step.view === "place";
    for (const part of this.view.parts) part.shown = false;
    if (place) this.inPlace(step.run, wants);
    if (step.view === "flat") this.straight(this.data.pieces[step.piece], wants);
    if (step.view === "bender") this.pulled(this.data.pieces[step.piece], step, pull, wants);
    if (step.view === "way") this.broughtIn(step.run, pull, wants);
    if (fresh) this.look(step);
    this.view.ask();
  }

  // The camera for a step: from the front for the straight tube, from where the fitter stands for a pull, and from where
  // the drawings show a run or all of them.
  look(step) {
    const { data, view } = this, eyes = { flat: FRONT, bender: data.pieces[step.piece]?.eye, place: step.run < 0 ? data.from : data.runs[Math.max(step.run, 0)].from, way: data.runs[Math.max(step.run, 0)].way?.from };
    [view.azimuth, view.height] = eyes[step.view];
    this.fit();
  }

  fit(near) {
    this.view.aside = document.getElementById("zoom").offsetWidth;
    this.view.fit(near && this.near.length ? this.near : this.points);
  }

  inPlace(index, wants) {
    const notes = [];
    this.placed.forEach((p, i) => {
      p.tube.shown = true;
      p.tube.colour = i === index || index < 0 ? COPPER : PALE_COPPER;
      for (const part of p.lagging) part.shown = wants.insulation;
      for (const parts of p.clips) for (const part of parts) part.shown = wants.clips && (i === index || index < 0);
      if (this.placed.length > 1) notes.push({ kind: "run", text: this.data.runs[i].name, anchors: spotsOf(p.made.rings) });
    });
    for (const look of this.room) look.face.shown = look.edges.shown = wants.room;
    if (wants.room) for (const thing of this.data.room) notes.push({ kind: "thing", text: thing.name, anchors: thing.anchors });
    for (const c of this.data.clashes) notes.push({ kind: "clash", head: "✕", text: c.text, anchors: [c.point] });
    if (index < 0) { this.everything(notes); return; }
    const run = this.data.runs[index], { made } = this.placed[index];
    for (const joint of run.joints) notes.push({ kind: "joint", text: "«page.at joint»", anchors: [joint.point] });
    if (wants.clips) for (const c of run.clips) notes.push({ kind: "clip", text: `«page.at clip|n=c.number»`, anchors: [c.point] });
    this.say(run, made, notes, wants, wants.lengths ? run.legs : []);
  }

  everything(notes) {
    this.points = this.placed.flatMap((p) => p.made.rings.map((r) => r.at));
    if (this.placed.length === 1) this.say(this.data.runs[0], this.placed[0].made, notes, {}, []);
    else this.labels.say(notes, [], this.axes());
  }

  // The piece on its way in past the runs that are there, so much of the way done; pale where it is to go; held
  // sprung, also pale as it was bent.
  broughtIn(index, share, wants) {
    const run = this.data.runs[index], way = new WayIn(run.way), { made } = this.placed[index], r = run.outside / 2;
    const { bent, held: rings, said } = way.ringsAt(share, made.rings), notes = [], end = rings.length - 1;
    this.put(this.loose.tube, tubeTriangles(rings, r, SIDES), r);
    if (share < 1) this.put(this.loose.ghost, joined([made.rings, ...(rings === bent ? [] : [bent])].map((q) => tubeTriangles(q, r, SIDES))), r);
    for (const look of this.room) look.face.shown = look.edges.shown = wants.room;
    for (const i of run.way.past) {
      const { tube, made } = this.placed[i];
      [tube.shown, tube.colour] = [true, THERE];
      notes.push({ kind: "run", text: this.data.runs[i].name, anchors: spotsOf(made.rings) });
    }
    if (way.opening) {
      this.put(this.loose.opening, tubeTriangles(ringsThrough([...way.opening.corners, way.opening.corners[0]]), 1, 6), 1);
      notes.push({ kind: "run", text: way.opening.name, anchors: way.opening.corners });
    }
    if (wants.room) for (const thing of this.data.room) notes.push({ kind: "thing", text: thing.name, anchors: thing.anchors });
    notes.push({ kind: "end", text: said.start || "«page.at start»", anchors: [rings[0].at], out: V.sub(rings[0].at, rings[1].at) }, { kind: "end", text: said.finish || "«page.at finish»", anchors: [rings[end].at], out: V.sub(rings[end].at, rings[end - 1].at) });
    this.points = [...way.everywhere(made.rings).flat().map((q) => q.at), ...(way.opening ? way.opening.corners : [])];
    this.labels.say(notes, [], [{ points: rings.map((q) => q.at), radius: r }]);
  }

  straight(run, wants) {
    const made = bentTube(run, run.bends.map(() => 0), FLAT, run.after + run.trim), r = run.outside / 2;
    this.put(this.loose.tube, tubeTriangles(made.rings, r, SIDES), r);
    this.ring(made.rings, run, run.bends.map((b) => b.at));
    const lengths = wants.lengths ? run.straights.map((d) => ({ from: placeAt(made.rings, d.from).at, to: placeAt(made.rings, d.to).at, text: d.text })) : [];
    this.say(run, made, [], { ...wants, marks: true }, lengths);
  }

  pulled(run, step, pull, wants) {
    const bend = run.bends[step.bend], r = run.outside / 2, after = run.after + run.trim;
    const angles = (to) => run.bends.map((b, i) => i === step.bend ? to : b.angle * step.before[i]);
    const made = atBender(run, angles(pull), step.bend, step.held, after), done = atBender(run, angles(bend.angle), step.bend, step.held, after);
    this.put(this.loose.tube, tubeTriangles(made.rings, r, SIDES), r);
    if (pull < bend.angle * 0.98) this.put(this.loose.ghost, tubeTriangles(done.rings, r, SIDES), r);
    this.ring(made.rings, run, [bend.at]);
    this.bender(step.piece, run, bend, pull);
    if (pull < bend.pull * 0.9) this.put(this.loose.arrow, meshStanding(run, swingArrow(Math.min(pull + 4, bend.pull * 0.85), bend.pull * 0.97)), 0);
    this.loose.arrow.across = bend.radius * 2.4;
    const free = (q) => q.rings[step.held === "start" ? q.rings.length - 1 : 0].at, notes = [];
    if (pull < bend.angle * 0.7) notes.push({ kind: "ghost", text: "«page.once pulled»", anchors: [V.mix([0, 0, 0], free(done), 0.6), free(done)] });
    this.say(run, made, [...notes, { kind: "mark", head: String(bend.number), text: `«page.at mark|mark=bend.mark»`, anchors: [placeAt(made.rings, bend.at).at], out: standing(run, [0, 1, 0]) }], { marks: false, but: bend.number }, []);
    this.points = [...this.points, ...done.rings.map((q) => q.at)];
    this.near = [...this.points.filter((p) => V.len(p) < bend.radius * 7), [-bend.radius, 0, 0], standing(run, [0, -bend.radius, 0])];
  }

  // The former, with what else of the bender is known: what swings, swings with the pull.
  bender(index, run, bend, pull) {
    const parts = this.benders[index];
    if (!parts) {
      const flat = [[0, 0, -1], [0, 0, 1]].map((p) => ({ at: V.scale(p, run.outside / 2), ahead: [0, 0, 1], side: [1, 0, 0] }));
      this.put(this.loose.wheel, meshStanding(run, tubeTriangles(flat, bend.radius - run.outside / 2, 48)), 0);
      return;
    }
    const drawn = bend.arc * pull / bend.pull;
    for (const p of parts) {
      if (p.moves === "lever" || p.moves === "guide") {
        const slide = p.moves === "guide" ? [-drawn, 0, 0] : [0, 0, 0], turned = { ...p.mesh, position: p.mesh.position.slice(), normal: p.mesh.normal.slice() };
        for (let i = 0; i < turned.position.length; i += 3) {
          turned.position.set(V.turn(V.add([...p.mesh.position.subarray(i, i + 3)], slide), [0, 0, 1], -pull), i);
          turned.normal.set(V.turn([...p.mesh.normal.subarray(i, i + 3)], [0, 0, 1], -pull), i);
        }
        this.view.change(p.part, meshStanding(run, turned));
      } else this.view.change(p.part, meshStanding(run, p.mesh));
      p.part.shown = true;
    }
  }

  // A ring round the tube at each mark.
  ring(rings, run, marks) {
    while (this.marks.length < marks.length) this.marks.push(this.part(INK_BLUE, 13));
    const wide = Math.max(run.outside * 0.25, this.lengthOf(rings) / 200);
    marks.forEach((s, i) => this.put(this.marks[i], tubeTriangles(stretch(rings, s - wide / 2, s + wide / 2), run.outside * 0.56, SIDES), run.outside * 0.56));
  }

  lengthOf(rings) { return rings[rings.length - 1].s; }

  put(part, mesh, bar) {
    part.bar = bar;
    this.view.change(part, mesh);
    part.shown = true;
  }

  say(run, made, notes, wants, lengths) {
    const first = made.rings[0].at, last = made.rings[made.rings.length - 1].at;
    for (const b of made.bends) if (b.number !== wants.but) notes.push({ kind: "bend", head: String(b.number), text: wants.marks ? run.bends[b.number - 1].mark : "", anchors: [wants.marks && !b.made ? placeAt(made.rings, run.bends[b.number - 1].at).at : b.at], out: b.out });
    notes.push({ kind: "end", text: "«page.at start»", anchors: [first], out: V.sub(first, made.rings[1].at) }, { kind: "end", text: "«page.at finish»", anchors: [last], out: V.sub(last, made.rings[made.rings.length - 2].at) });
    this.points = made.rings.map((q) => q.at);
    this.labels.say(notes, lengths, this.placed.some((p) => p.made === made) ? this.axes() : [this.axis(run, made)]);
  }

  // What words keep off: the tubes in the room. Very many rings are thinned out.
  axes() { return this.placed.map((p, i) => this.axis(this.data.runs[i], p.made)); }

  axis(run, made) {
    const step = Math.ceil(this.placed.reduce((n, p) => n + p.made.rings.length, 0) / MOST_POINTS), last = made.rings.length - 1;
    return { points: made.rings.filter((_, i) => i % step === 0 || i === last).map((r) => r.at), radius: run.outside / 2 };
  }
}
