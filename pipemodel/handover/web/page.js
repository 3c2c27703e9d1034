// The walk through the pulls. Every step is plain HTML already on the page; this shows one at a time, bends the
// tube in the picture as far as the slider says, and remembers the ticks on this device.
"use strict";

(function () {
  const data = JSON.parse(document.getElementById("job-data").textContent);
  const $ = (id) => document.getElementById(id);
  const steps = [...document.querySelectorAll(".step")];
  document.documentElement.classList.add("scripted");

  // ---- ticks

  const shelf = {
    get(key) { try { return localStorage.getItem(key); } catch { return null; } },
    set(key, value) { try { if (value) localStorage.setItem(key, "1"); else localStorage.removeItem(key); } catch { /* a private window keeps nothing */ } },
  };
  for (const box of document.querySelectorAll("input[data-tick]")) {
    const key = `pipemodel/${data.identity}/${box.dataset.tick}`;
    box.checked = shelf.get(key) === "1";
    box.addEventListener("change", () => { shelf.set(key, box.checked); count(); });
  }
  function count() {
    const boxes = [...document.querySelectorAll("input[data-tick]")];
    $("ticked").textContent = `${boxes.filter((b) => b.checked).length} of ${boxes.length} steps ticked`;
  }
  count();

  // ---- picture

  const dark = matchMedia("(prefers-color-scheme: dark)");
  const view = new View($("view"), $("labels"), () => {
    document.documentElement.classList.add("no-picture");
    $("no-webgl").hidden = false;
  });
  const copper = [0.80, 0.44, 0.20, 1], faint = () => (dark.matches ? [0.62, 0.70, 0.78, 0.22] : [0.35, 0.45, 0.55, 0.20]);
  const sides = 20;
  const shown = { room: [], runs: [], lagging: [], piece: null, wheel: null, current: null };

  if (view.gl) {
    for (const thing of data.room) shown.room.push(view.add(trianglesFrom(thing.triangles), faint(), { counts: !thing.endless, name: thing.name, middle: thing.middle }));
    data.runs.forEach((run) => {
      const placed = bentTube(run, run.bends.map((b) => b.angle), run.base);
      run.placed = placed;
      shown.runs.push(view.add(tubeTriangles(placed.rings, run.outside / 2, sides), copper));
      shown.lagging.push(run.insulation ? view.add(tubeTriangles(placed.rings, run.outside / 2 + run.insulation, sides), [0.30, 0.55, 0.35, 0.35]) : null);
    });
    shown.piece = view.add(tubeTriangles(data.runs[0].placed.rings, data.runs[0].outside / 2, sides), copper, { shown: false });
    shown.wheel = view.add(wheel(10, 1), [0.45, 0.47, 0.50, 1], { shown: false, counts: false });
    dark.addEventListener("change", () => { for (const part of shown.room) part.colour = faint(); view.ask(); });
  }

  // The former as a plain disc under the inside of the bend.
  function wheel(radius, thick) {
    const rings = [{ at: [0, 0, -thick / 2], ahead: [0, 0, 1], side: [1, 0, 0] }, { at: [0, 0, thick / 2], ahead: [0, 0, 1], side: [1, 0, 0] }];
    return tubeTriangles(rings, radius, 48);
  }

  function labelsFor(run, made, options) {
    const notes = [];
    for (const m of made.marks) notes.push({ at: m.at, out: m.out, text: options.marks ? `${m.number}: mark ${m.mark}` : String(m.number), kind: "bend" });
    const first = made.rings[0], last = made.rings[made.rings.length - 1];
    notes.push({ at: first.at, text: "start", kind: "end" }, { at: last.at, text: "finish", kind: "end" });
    if (options.dimensions) for (const d of run.dimensions) notes.push({ at: placeAt(made.rings, d.s).at, text: d.text, kind: "dimension" });
    return notes;
  }

  function draw(step, share) {
    if (!view.gl) return;
    const run = data.runs[+step.dataset.run], kind = step.dataset.view, inPlace = kind === "place";
    const options = { marks: $("show-marks").checked, dimensions: $("show-dimensions").checked };
    shown.runs.forEach((p, i) => { p.shown = inPlace; p.colour = inPlace && i !== +step.dataset.run ? [0.80, 0.44, 0.20, 0.45] : copper; });
    shown.lagging.forEach((p) => { if (p) p.shown = inPlace && $("show-insulation").checked; });
    shown.room.forEach((p) => { p.shown = inPlace && $("show-room").checked; });
    shown.piece.shown = !inPlace;
    shown.wheel.shown = kind === "bender";
    let notes, made;
    if (inPlace) {
      notes = labelsFor(run, run.placed, options);
      for (const c of data.clashes) notes.push({ at: c.point, text: `✕ ${c.text}`, kind: "clash" });
      if ($("show-room").checked) for (const p of shown.room) notes.push({ at: p.middle, text: p.name, kind: "thing" });
    } else {
      const before = JSON.parse(step.dataset.before), after = JSON.parse(step.dataset.after);
      const angles = run.bends.map((b, i) => b.angle * (before[i] + (after[i] - before[i]) * share));
      if (kind === "bender") {
        const bend = +step.dataset.bend, r = run.bends[bend].radius;
        made = atBender(run, angles, bend, step.dataset.held);
        const mesh = wheel(r - run.outside / 2, run.outside);
        for (let i = 1; i < mesh.position.length; i += 3) mesh.position[i] += r;
        view.change(shown.wheel, mesh);
      } else made = bentTube(run, angles, { here: [0, 0, 0], ahead: [1, 0, 0], normal: [0, 0, 1] });
      view.change(shown.piece, tubeTriangles(made.rings, run.outside / 2, sides));
      notes = labelsFor(run, made, { ...options, marks: true });
    }
    view.say(notes);
    if (shown.current !== step) {
      shown.current = step;
      if (kind === "flat") { view.azimuth = 0; view.height = 30; }
      if (kind === "bender") { view.azimuth = 0; view.height = 55; }
      if (kind === "place") { view.azimuth = -35; view.height = 25; }
      view.fit(inPlace ? shown.runs : [shown.piece]);
    }
  }

  // ---- steps

  let here = 0;
  function go(to, focus) {
    here = Math.max(0, Math.min(steps.length - 1, to));
    steps.forEach((s, i) => { s.hidden = i !== here; });
    $("slider").value = here;
    $("where").textContent = `Step ${here + 1} of ${steps.length}: ${steps[here].dataset.title}`;
    $("back").disabled = here === 0;
    $("forward").disabled = here === steps.length - 1;
    $("pull").closest("label").hidden = steps[here].dataset.view !== "bender";
    $("pull").value = 1000;
    draw(steps[here], 1);
    if (focus) steps[here].querySelector("h3").focus();
  }
  $("slider").max = steps.length - 1;
  $("slider").addEventListener("input", (e) => go(+e.target.value));
  $("back").addEventListener("click", () => go(here - 1, true));
  $("forward").addEventListener("click", () => go(here + 1, true));
  $("pull").addEventListener("input", (e) => draw(steps[here], e.target.value / 1000));
  for (const id of ["show-room", "show-marks", "show-dimensions", "show-insulation"]) $(id).addEventListener("change", () => draw(steps[here], $("pull").value / 1000));
  $("show-insulation").parentElement.hidden = !data.runs.some((r) => r.insulation);
  $("fit").addEventListener("click", () => { shown.current = null; draw(steps[here], $("pull").value / 1000); });
  document.addEventListener("keydown", (e) => {
    if (e.target.closest && e.target.closest("input, canvas, summary")) return;
    if (e.key === "ArrowRight") go(here + 1);
    if (e.key === "ArrowLeft") go(here - 1);
  });
  addEventListener("beforeprint", () => steps.forEach((s) => { s.hidden = false; }));
  addEventListener("afterprint", () => go(here));
  go(steps.findIndex((s) => s.dataset.view === "place") >= 0 ? steps.findIndex((s) => s.dataset.view === "place") : 0);
}());
