// A small view of solids in WebGL2: turn with one finger, pan and zoom with two, or mouse and keys. It draws only
// when something changed, so that a phone stays cool, and says so in words where WebGL is missing.
"use strict";

class View {
  constructor(canvas, labels, onLost) {
    this.canvas = canvas;
    this.labels = labels;
    this.parts = [];
    this.notes = [];
    this.azimuth = -35;
    this.height = 25;
    this.reach = 1000;
    this.centre = [0, 0, 0];
    this.gl = canvas.getContext("webgl2", { antialias: true, alpha: false });
    if (!this.gl) { onLost(); return; }
    canvas.addEventListener("webglcontextlost", (event) => { event.preventDefault(); onLost(); });
    this.program = this.build();
    this.listen();
    new ResizeObserver(() => this.ask()).observe(canvas);
  }

  build() {
    const gl = this.gl;
    const shader = (kind, text) => {
      const s = gl.createShader(kind);
      gl.shaderSource(s, text);
      gl.compileShader(s);
      if (!gl.getShaderParameter(s, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(s));
      return s;
    };
    const program = gl.createProgram();
    gl.attachShader(program, shader(gl.VERTEX_SHADER, `#version 300 es
      in vec3 position; in vec3 normal; uniform mat4 camera; out vec3 n;
      void main() { n = normal; gl_Position = camera * vec4(position, 1.0); }`));
    gl.attachShader(program, shader(gl.FRAGMENT_SHADER, `#version 300 es
      precision mediump float; in vec3 n; uniform vec4 colour; uniform vec3 eye; uniform float flatly; out vec4 pixel;
      void main() {
        float lit = mix(0.45 + 0.55 * abs(dot(normalize(n + vec3(1e-6)), eye)), 1.0, flatly);
        pixel = vec4(colour.rgb * lit, colour.a);
      }`));
    gl.linkProgram(program);
    this.at = Object.fromEntries(["camera", "colour", "eye", "flatly"].map((k) => [k, gl.getUniformLocation(program, k)]));
    this.where = { position: gl.getAttribLocation(program, "position"), normal: gl.getAttribLocation(program, "normal") };
    return program;
  }

  // A part: triangles or lines, a colour with alpha, whether it is seen through.
  add(mesh, colour, options = {}) {
    const gl = this.gl;
    if (!gl) return null;
    const part = { colour, shown: true, lines: false, counts: true, ...options, vao: gl.createVertexArray(), buffers: [gl.createBuffer(), gl.createBuffer(), gl.createBuffer()] };
    this.parts.push(part);
    this.change(part, mesh);
    return part;
  }

  change(part, mesh) {
    const gl = this.gl;
    gl.bindVertexArray(part.vao);
    [["position", mesh.position], ["normal", mesh.normal]].forEach(([name, data], i) => {
      gl.bindBuffer(gl.ARRAY_BUFFER, part.buffers[i]);
      gl.bufferData(gl.ARRAY_BUFFER, data, gl.DYNAMIC_DRAW);
      if (this.where[name] < 0) return;
      gl.enableVertexAttribArray(this.where[name]);
      gl.vertexAttribPointer(this.where[name], 3, gl.FLOAT, false, 0, 0);
    });
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, part.buffers[2]);
    gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, mesh.index, gl.DYNAMIC_DRAW);
    part.count = mesh.index.length;
    const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
    for (let i = 0; i < mesh.position.length; i++) {
      low[i % 3] = Math.min(low[i % 3], mesh.position[i]);
      high[i % 3] = Math.max(high[i % 3], mesh.position[i]);
    }
    part.box = [low, high];
    part.middle = V.scale(V.add(low, high), 0.5);
    this.ask();
  }

  // Words in the picture: HTML over the canvas, so that they stay sharp and can be read out.
  say(notes) {
    this.notes = notes.map((note) => {
      const e = document.createElement("span");
      e.className = "tag " + (note.kind || "");
      e.textContent = note.text;
      return { ...note, e };
    });
    this.labels.replaceChildren(...this.notes.map((n) => n.e));
    this.ask();
  }

  fit(parts = this.parts) {
    const seen = parts.filter((p) => p && p.shown && p.counts);
    if (!seen.length) return;
    const low = [0, 1, 2].map((k) => Math.min(...seen.map((p) => p.box[0][k])));
    const high = [0, 1, 2].map((k) => Math.max(...seen.map((p) => p.box[1][k])));
    this.centre = V.scale(V.add(low, high), 0.5);
    const { clientWidth: w, clientHeight: h } = this.canvas;
    this.reach = Math.max(V.len(V.sub(high, low)) / 2, 20) * 1.08 * Math.max(1, h / Math.max(w, 1));
    this.ask();
  }

  ask() {
    if (this.asked || !this.gl) return;
    this.asked = true;
    requestAnimationFrame(() => { this.asked = false; this.draw(); });
  }

  frame() {
    const a = this.azimuth * Math.PI / 180, h = this.height * Math.PI / 180;
    const eye = [-Math.sin(a) * Math.cos(h), -Math.cos(a) * Math.cos(h), Math.sin(h)];
    const right = [Math.cos(a), -Math.sin(a), 0];
    return { eye, right, up: V.cross(eye, right) };
  }

  draw() {
    const gl = this.gl, canvas = this.canvas, ratio = Math.min(window.devicePixelRatio || 1, 2);
    const w = Math.max(1, Math.round(canvas.clientWidth * ratio)), h = Math.max(1, Math.round(canvas.clientHeight * ratio));
    if (canvas.width !== w || canvas.height !== h) { canvas.width = w; canvas.height = h; }
    const { eye, right, up } = this.frame(), aspect = w / h, k = 1 / this.reach, deep = 1 / (40 * this.reach);
    // Parallel projection: equal lengths look equal, as on a drawing.
    const row = (v, f) => [...V.scale(v, f), -V.dot(v, this.centre) * f];
    const x = row(right, k / aspect), y = row(up, k), z = row(eye, -deep);
    this.camera = new Float32Array([x[0], y[0], z[0], 0, x[1], y[1], z[1], 0, x[2], y[2], z[2], 0, x[3], y[3], z[3], 1]);
    const paper = getComputedStyle(canvas).backgroundColor.match(/[\d.]+/g).slice(0, 3).map((c) => c / 255);
    gl.viewport(0, 0, w, h);
    gl.clearColor(...paper, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
    gl.useProgram(this.program);
    gl.uniformMatrix4fv(this.at.camera, false, this.camera);
    gl.uniform3fv(this.at.eye, eye);
    const solid = this.parts.filter((p) => p.shown && p.colour[3] >= 1);
    const glassy = this.parts.filter((p) => p.shown && p.colour[3] < 1);
    glassy.sort((p, q) => V.dot(p.middle, eye) - V.dot(q.middle, eye));
    for (const part of [...solid, ...glassy]) {
      gl.depthMask(part.colour[3] >= 1);
      gl.uniform4fv(this.at.colour, part.colour);
      gl.uniform1f(this.at.flatly, part.lines ? 1 : 0);
      gl.bindVertexArray(part.vao);
      gl.drawElements(part.lines ? gl.LINES : gl.TRIANGLES, part.count, gl.UNSIGNED_INT, 0);
    }
    gl.depthMask(true);
    this.place();
  }

  place() {
    const m = this.camera, w = this.canvas.clientWidth, h = this.canvas.clientHeight, taken = [];
    for (const note of this.notes) {
      const p = note.at, x = m[0] * p[0] + m[4] * p[1] + m[8] * p[2] + m[12], y = m[1] * p[0] + m[5] * p[1] + m[9] * p[2] + m[13];
      let px = (x + 1) / 2 * w, py = (1 - y) / 2 * h;
      if (note.out) {
        // Pushed outwards in the picture, so that a number does not sit on its bend.
        const o = note.out, dx = m[0] * o[0] + m[4] * o[1] + m[8] * o[2], dy = -(m[1] * o[0] + m[5] * o[1] + m[9] * o[2]), n = Math.hypot(dx * w, dy * h) || 1;
        px += dx * w / n * 24; py += dy * h / n * 24;
      }
      for (const other of taken) if (Math.abs(other[0] - px) < 34 && Math.abs(other[1] - py) < 20) py = other[1] + 21;
      taken.push([px, py]);
      note.e.style.transform = `translate(${px}px, ${py}px) translate(-50%, -50%)`;
      note.e.hidden = px < 0 || py < 0 || px > w || py > h;
    }
  }

  turnBy(dx, dy) {
    this.azimuth += dx;
    this.height = Math.max(-90, Math.min(90, this.height + dy));
    this.ask();
  }

  panBy(dx, dy) {
    const { right, up } = this.frame(), k = 2 * this.reach / Math.max(1, this.canvas.clientHeight);
    this.centre = V.add(this.centre, V.add(V.scale(right, -dx * k), V.scale(up, dy * k)));
    this.ask();
  }

  zoomBy(factor) {
    this.reach = Math.max(5, Math.min(1e6, this.reach / factor));
    this.ask();
  }

  listen() {
    const c = this.canvas, held = new Map();
    c.addEventListener("pointerdown", (e) => { c.setPointerCapture(e.pointerId); held.set(e.pointerId, [e.clientX, e.clientY]); });
    const drop = (e) => held.delete(e.pointerId);
    c.addEventListener("pointerup", drop);
    c.addEventListener("pointercancel", drop);
    c.addEventListener("pointermove", (e) => {
      const before = held.get(e.pointerId);
      if (!before) return;
      const now = [e.clientX, e.clientY], dx = now[0] - before[0], dy = now[1] - before[1];
      if (held.size === 1) {
        if (e.buttons & 6 || e.shiftKey) this.panBy(dx, dy); else this.turnBy(-dx * 0.4, dy * 0.4);
      } else {
        const [, other] = [...held].find(([id]) => id !== e.pointerId);
        const gap = (p) => Math.hypot(p[0] - other[0], p[1] - other[1]) || 1;
        this.zoomBy(gap(now) / gap(before));
        this.panBy(dx / 2, dy / 2);
      }
      held.set(e.pointerId, now);
    });
    c.addEventListener("contextmenu", (e) => e.preventDefault());
    c.addEventListener("wheel", (e) => { e.preventDefault(); this.zoomBy(Math.exp(-e.deltaY * 0.0015)); }, { passive: false });
    c.addEventListener("keydown", (e) => {
      const pan = e.shiftKey;
      const act = {
        ArrowLeft: () => pan ? this.panBy(40, 0) : this.turnBy(-10, 0), ArrowRight: () => pan ? this.panBy(-40, 0) : this.turnBy(10, 0),
        ArrowUp: () => pan ? this.panBy(0, 40) : this.turnBy(0, 10), ArrowDown: () => pan ? this.panBy(0, -40) : this.turnBy(0, -10),
        "+": () => this.zoomBy(1.2), "=": () => this.zoomBy(1.2), "-": () => this.zoomBy(1 / 1.2), "0": () => this.fit(),
      }[e.key];
      if (act) { e.preventDefault(); e.stopPropagation(); act(); }
    });
  }
}
