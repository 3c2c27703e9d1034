// The walk through the pulls. Every step is plain HTML already on the page; this shows one at a time, bends the
// tube in the picture as far as asked, and keeps the ticks.
"use strict";

const PULL_MS = 1400;

class Page {
  constructor() {
    this.$ = (id) => document.getElementById(id);
    this.here = 0;
    this.calm = matchMedia("(prefers-reduced-motion: reduce)");
    // Hidden before anything is measured, so that the cards are never all laid out.
    document.querySelectorAll(".step").forEach((step) => { step.hidden = true; });
    document.documentElement.classList.add("scripted");
    this.ticks = new Ticks(() => this.count(), (box) => this.mayTick(box));
    this.readings = new Readings(() => this.count());
    this.fit = new Fit(() => this.draw(true));
    this.scene = new Scene(() => {
      document.documentElement.classList.add("no-picture");
      this.$("no-webgl").hidden = false;
    });
    this.listen();
    this.load();
    this.go(this.unfinished(), true);
  }

  // Where to go on: at the first step not ticked once there is a tick, else at the beginning.
  unfinished() {
    const boxes = this.boxes.map((b) => b && b.firstElementChild.checked);
    return boxes.includes(true) ? Math.max(0, boxes.indexOf(false)) : 0;
  }

  // Take over what the page holds: once when it opens, and again whenever it was given another job.
  load() {
    this.data = JSON.parse(this.$("job-data").textContent);
    this.steps = [...document.querySelectorAll(".step")];
    this.boxes = this.steps.map((s) => s.querySelector(".tickbox"));
    const kept = new Kept(this.data.identity);
    this.readings.load(kept, this.data, this.steps);
    this.ticks.load(kept, this.boxes.filter(Boolean).map((b) => b.firstElementChild));
    this.scene.load(this.data);
    stackTables();
    this.$("slider").max = this.steps.length - 1;
    for (const [want, there] of [["insulation", this.data.runs.some((r) => r.insulation)], ["clips", this.data.runs.some((r) => r.clips.length)]]) document.querySelector(`[data-want=${want}]`).parentElement.hidden = !there;
  }

  // Put another job into the page, read from its HTML, and leave the camera and the step as they are.
  renew(html) {
    const next = new DOMParser().parseFromString(html, "text/html"), tick = (box) => box ? box.firstElementChild.dataset.tick : "", was = tick(this.boxes[this.here]);
    this.$("tick").replaceChildren();
    document.title = next.title;
    for (const id of ["head", "steps", "lists"]) this.$(id).replaceChildren(...next.getElementById(id).childNodes);
    this.$("job-data").textContent = next.getElementById("job-data").textContent;
    this.load();
    const same = this.boxes.findIndex((b) => tick(b) === was);
    this.go(same < 0 ? Math.min(this.here, this.steps.length - 1) : same, false);
  }

  // Say how much is ticked, and at each pull how many checks are open: beside the box once it is ticked all the same.
  count() {
    this.$("ticked").textContent = this.ticks.inWords;
    this.steps.forEach((step, i) => {
      const n = this.readings.open(step), words = n === 1 ? `«page.one still open»` : n ? `«page.still open|n=n»` : "";
      const head = step.querySelector("h4 .still-open"), beside = this.boxes[i]?.querySelector(".still-open");
      if (head) head.textContent = words || "✓";
      if (beside) beside.textContent = n && this.boxes[i].firstElementChild.checked ? `«page.open at the tick|n=n»` : "";
    });
    if (!this.readings.open(this.steps[this.here])) this.$("ask").hidden = true;
  }

  // A pull with checks open is ticked only by someone to whom that was said.
  mayTick(box) {
    const n = this.readings.open(this.steps[this.boxes.indexOf(box.parentElement)]);
    if (!n) return true;
    this.$("asked").textContent = n === 1 ? `«page.one open»` : `«page.open|n=n»`;
    this.$("ask").hidden = false;
    this.$("to-checks").focus();
    return false;
  }

  tickAnyway() {
    this.$("ask").hidden = true;
    const box = this.boxes[this.here].firstElementChild;
    this.ticks.set(box, true);
    box.focus();
  }

  toChecks() {
    this.$("ask").hidden = true;
    const step = this.steps[this.here], field = this.readings.firstOpen(step);
    step.querySelector(".then").scrollIntoView();
    field.focus({ preventScroll: true });
  }

  step() {
    const d = this.steps[this.here].dataset;
    return { run: +d.run, piece: +d.piece, view: d.view, before: JSON.parse(d.before), bend: +d.bend, held: d.held };
  }

  wants() {
    return Object.fromEntries([...document.querySelectorAll("[data-want]")].map((box) => [box.dataset.want, box.checked]));
  }

  draw(fresh = false) {
    const step = this.step();
    if (step.view === "way") { this.bringIn(step, fresh); return; }
    const full = step.view === "bender" ? this.data.pieces[step.piece].bends[step.bend].pull : 0;
    const pull = full * this.$("pull").value / 1000;
    this.$("pulled").textContent = `${pull.toFixed(0)}°`;
    this.scene.show(step, pull, this.wants(), fresh);
  }

  // How far it is brought in, and the words of the motion that it is in.
  bringIn(step, fresh) {
    const way = new WayIn(this.data.runs[step.run].way), share = this.$("pull").value / 1000, k = way.motionAt(share), n = way.motions.length;
    const items = this.steps[this.here].querySelectorAll(".actions li"), now = share === 0 ? 0 : k + 1;
    items.forEach((li, i) => { if (i === now) li.setAttribute("aria-current", "step"); else li.removeAttribute("aria-current"); });
    this.$("pulled").textContent = `${now}/${n}`;
    if (this.$("moving").textContent !== items[now].textContent) this.$("moving").textContent = items[now].textContent;
    this.$("pull").setAttribute("aria-valuetext", items[now].textContent);
    this.scene.show(step, share, this.wants(), fresh);
  }

  go(to, fresh, focus) {
    if (this.boxes[this.here]) this.steps[this.here].append(this.boxes[this.here]);
    this.here = Math.max(0, Math.min(this.steps.length - 1, to));
    const step = this.steps[this.here], title = step.querySelector("h3");
    this.steps.forEach((s) => { s.hidden = s !== step; });
    this.$("tick").replaceChildren(...[this.boxes[this.here]].filter(Boolean));
    this.$("slider").value = this.here;
    this.$("slider").setAttribute("aria-valuetext", `«page.step titled|n=this.here + 1|all=this.steps.length|title=title.textContent»`);
    this.$("where").textContent = `«page.step of|n=this.here + 1|all=this.steps.length»`;
    this.$("back").disabled = this.here === 0;
    this.$("forward").disabled = this.here === this.steps.length - 1;
    const brought = step.dataset.view === "way";
    this.$("closer").hidden = step.dataset.view !== "bender";
    this.$("pulling").hidden = this.$("closer").hidden && !brought;
    this.$("moving").hidden = !brought;
    this.$("play").textContent = brought ? "«page.next move»" : "«page.pull»";
    this.$("pull").setAttribute("aria-label", brought ? "«page.how far in»" : "«page.how far»");
    this.$("pull").removeAttribute("aria-valuetext");
    this.$("pull").step = brought ? 20 : 1;
    this.$("ask").hidden = true;
    if (fresh) { this.stop(); this.$("pull").value = 0; }
    this.fit.to(step);
    this.draw(fresh);
    if (focus) {
      title.focus({ preventScroll: true });
      if (this.$("walk").getBoundingClientRect().top < 0) scrollTo({ top: 0, behavior: "instant" });
    }
  }

  // Pull it slowly, or at once where motion is not wanted.
  play() {
    const range = this.$("pull");
    this.stop();
    if (this.step().view === "way") { this.playMove(range); return; }
    if (this.calm.matches) { range.value = +range.value < 1000 ? 1000 : 0; this.draw(); return; }
    const from = +range.value < 1000 ? +range.value : 0, begun = performance.now();
    const tick = (now) => {
      range.value = Math.min(1000, from + Math.max(0, now - begun) / PULL_MS * 1000);
      this.draw();
      this.playing = +range.value < 1000 ? requestAnimationFrame(tick) : 0;
    };
    this.playing = requestAnimationFrame(tick);
  }

  // One motion of a way in; from its end, all of it again.
  playMove(range) {
    const n = this.data.runs[this.step().run].way.motions.length, from = +range.value < 1000 ? +range.value : 0;
    const to = Math.min(1000, Math.floor(from * n / 1000 + 1e-6) * 1000 / n + 1000 / n), begun = performance.now();
    range.step = "any";
    if (this.calm.matches) { range.value = to; this.draw(); return; }
    const tick = (now) => {
      range.value = Math.min(to, from + Math.max(0, now - begun) / MOVE_MS * 1000 / n);
      this.draw();
      this.playing = +range.value < to - 1e-6 ? requestAnimationFrame(tick) : 0;
    };
    this.playing = requestAnimationFrame(tick);
  }

  stop() { cancelAnimationFrame(this.playing); }

  listen() {
    const $ = this.$, on = (id, act) => $(id).addEventListener("click", act);
    $("slider").addEventListener("input", (e) => this.go(+e.target.value, true));
    on("back", () => this.go(this.here - 1, true, true));
    on("forward", () => this.go(this.here + 1, true, true));
    on("play", () => this.play());
    on("to-checks", () => this.toChecks());
    on("tick-anyway", () => this.tickAnyway());
    $("steps").addEventListener("click", (e) => { if (e.target.matches(".fold")) this.fit.turn(); });
    addEventListener("resize", stackTables);
    $("ask").addEventListener("keydown", (e) => { if (e.key === "Escape") { $("ask").hidden = true; this.boxes[this.here].firstElementChild.focus(); } });
    on("whole", () => this.draw(true));
    on("closer", () => { this.draw(true); this.scene.fit(true); });
    on("nearer", () => this.scene.view.zoomBy(1.35));
    on("farther", () => this.scene.view.zoomBy(1 / 1.35));
    $("pull").addEventListener("input", () => { this.stop(); this.draw(); });
    for (const box of document.querySelectorAll("[data-want]")) box.addEventListener("change", () => this.draw());
    document.addEventListener("keydown", (e) => {
      if (e.ctrlKey || e.metaKey || e.altKey || e.target.closest?.("input, canvas, summary, [tabindex='0']")) return;
      if (e.key === "ArrowRight") this.go(this.here + 1, true);
      if (e.key === "ArrowLeft") this.go(this.here - 1, true);
    });
    // On paper every step is there, each with its own tick box.
    addEventListener("beforeprint", () => this.steps.forEach((s, i) => { s.hidden = false; if (this.boxes[i]) s.append(this.boxes[i]); }));
    addEventListener("afterprint", () => this.go(this.here, false));
  }
}

const page = new Page();
