// A small view of solids in WebGL2: turn with one finger, pan and zoom with two, or mouse, keys and buttons. It draws
// only when something changed, so that a phone stays cool; more coarsely while it moves, if the device is slow.
"use strict";

const SLOW_MS = 30, STILL_MS = 160, RATIOS = [2, 1.5, 1, 0.7];

class View {
  // `place` is called after each drawing with the way from the room to the picture; `lost` if there is no WebGL.
  constructor(canvas, place, lost) {
    this.canvas = canvas;
    this.place = place;
    this.parts = [];
    this.azimuth = -35;
    this.height = 25;
    this.reach = 1000;
    this.centre = [0, 0, 0];
    this.paper = [1, 1, 1];
    this.coarse = 0;
    this.aside = 0;
    this.drawn = 0;
    this.gl = canvas.getContext("webgl2", { antialias: false, alpha: false });
    if (!this.gl) { lost(); return; }
    canvas.addEventListener("webglcontextlost", (event) => { event.preventDefault(); this.gl = null; lost(); });
    this.program = this.build();
    this.listen();
    new ResizeObserver(() => { if (this.fitted) this.fit(this.fitted); this.ask(); }).observe(canvas);
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
      in vec3 position; in vec3 normal; uniform mat4 camera; uniform float grow; uniform float size; out vec3 n;
      void main() { n = normal; gl_Position = camera * vec4(position * size + normal * grow, 1.0); }`));
    gl.attachShader(program, shader(gl.FRAGMENT_SHADER, `#version 300 es
      precision mediump float; in vec3 n; uniform vec4 colour; uniform vec3 eye; uniform vec3 sun; uniform float flatly; out vec4 pixel;
      void main() {
        vec3 m = normalize(n + vec3(1e-6));
        float lit = mix(0.42 + 0.38 * abs(dot(m, eye)) + 0.25 * max(dot(m, sun), 0.0), 1.0, flatly);
        pixel = vec4(colour.rgb * lit, colour.a);
      }`));
    gl.linkProgram(program);
    this.at = Object.fromEntries(["camera", "colour", "eye", "sun", "flatly", "grow", "size"].map((k) => [k, gl.getUniformLocation(program, k)]));
    this.where = { position: gl.getAttribLocation(program, "position"), normal: gl.getAttribLocation(program, "normal") };
    return program;
  }

  // A part: triangles or lines, a colour with alpha. A `bar` of that radius is never drawn thinner than `least` px. One
  // with `across` is drawn that many times its size about the origin, and no smaller than `atLeast` px to the unit.
  add(mesh, colour, options = {}) {
    const gl = this.gl;
    if (!gl) return null;
    const part = { colour, shown: true, lines: false, bar: 0, least: 0, ...options, vao: gl.createVertexArray(), buffers: [gl.createBuffer(), gl.createBuffer(), gl.createBuffer()] };
    this.parts.push(part);
    this.change(part, mesh);
    return part;
  }

  change(part, mesh) {
    const gl = this.gl;
    if (!gl) return;
    gl.bindVertexArray(part.vao);
    [["position", mesh.position], ["normal", mesh.normal]].forEach(([name, data], i) => {
      gl.bindBuffer(gl.ARRAY_BUFFER, part.buffers[i]);
      gl.bufferData(gl.ARRAY_BUFFER, data, gl.DYNAMIC_DRAW);
      gl.enableVertexAttribArray(this.where[name]);
      gl.vertexAttribPointer(this.where[name], 3, gl.FLOAT, false, 0, 0);
    });
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, part.buffers[2]);
    gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, mesh.index, gl.DYNAMIC_DRAW);
    part.count = mesh.index.length;
    const sum = [0, 0, 0];
    for (let i = 0; i < mesh.position.length; i++) sum[i % 3] += mesh.position[i];
    part.middle = V.scale(sum, 3 / Math.max(mesh.position.length, 1));
    this.ask();
  }

  clear() {
    for (const part of this.parts) {
      part.buffers.forEach((b) => this.gl.deleteBuffer(b));
      this.gl.deleteVertexArray(part.vao);
    }
    this.parts = [];
  }

  // Look so that all the points are seen, with room about them for their numbers; `aside` px are kept free at the right.
  fit(points) {
    this.fitted = points;
    if (!points.length) return;
    const { right, up } = this.frame(), w = Math.max(this.canvas.clientWidth, 1), h = Math.max(this.canvas.clientHeight, 1);
    const span = (d) => { const on = points.map((p) => V.dot(p, d)); return [Math.min(...on), Math.max(...on)]; };
    const [l, r] = span(right), [b, t] = span(up);
    const margin = Math.min(w, h) * 0.1 + 18, aside = this.aside;
    const k = Math.max((r - l) / Math.max(w - aside - 2 * margin, 20), (t - b) / Math.max(h - 2 * margin, 20), 0.02);
    const middle = points.reduce((a, p) => V.add(a, V.scale(p, 1 / points.length)), [0, 0, 0]);
    this.centre = V.along(V.along(middle, right, (l + r + aside * k) / 2 - V.dot(middle, right)), up, (b + t) / 2 - V.dot(middle, up));
    this.reach = k * h / 2;
    this.ask();
  }

  ask() {
    if (this.asked || !this.gl) return;
    this.asked = true;
    requestAnimationFrame((now) => { this.asked = false; this.pace(now); this.draw(); });
  }

  // While it moves and the device is slow, fewer pixels; all of them again once it rests.
  pace(now) {
    const gap = now - this.drawn;
    this.drawn = now;
    if (gap < STILL_MS) {
      this.slow = (this.slow || 0) * 0.7 + gap * 0.3;
      if (this.slow > SLOW_MS && this.coarse < RATIOS.length - 1) { this.coarse += 1; this.slow = 0; }
    } else this.slow = 0;
    this.moving = gap < STILL_MS;
    clearTimeout(this.rest);
    if (this.moving) this.rest = setTimeout(() => { this.moving = false; if (this.gl) this.draw(); }, STILL_MS);
  }

  frame() {
    const a = this.azimuth * Math.PI / 180, h = this.height * Math.PI / 180;
    const eye = [-Math.sin(a) * Math.cos(h), -Math.cos(a) * Math.cos(h), Math.sin(h)];
    const right = [Math.cos(a), -Math.sin(a), 0];
    return { eye, right, up: V.cross(eye, right) };
  }

  draw() {
    const gl = this.gl, canvas = this.canvas, cssW = canvas.clientWidth, cssH = canvas.clientHeight;
    if (!cssW || !cssH) return;
    // At rest there are twice as many pixels each way as a plain screen has: edges come out smooth.
    const ratio = this.moving ? Math.min(window.devicePixelRatio || 1, RATIOS[this.coarse]) : 2;
    const w = Math.max(1, Math.round(cssW * ratio)), h = Math.max(1, Math.round(cssH * ratio));
    if (canvas.width !== w || canvas.height !== h) { canvas.width = w; canvas.height = h; }
    const { eye, right, up } = this.frame(), aspect = cssW / cssH, k = 1 / this.reach, deep = 1 / (40 * this.reach + 4000);
    // Parallel projection: equal lengths look equal, as on a drawing.
    const row = (v, f) => [...V.scale(v, f), -V.dot(v, this.centre) * f];
    const x = row(right, k / aspect), y = row(up, k), z = row(eye, -deep);
    const camera = new Float32Array([x[0], y[0], z[0], 0, x[1], y[1], z[1], 0, x[2], y[2], z[2], 0, x[3], y[3], z[3], 1]);
    gl.viewport(0, 0, w, h);
    gl.clearColor(...this.paper, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
    gl.useProgram(this.program);
    gl.uniformMatrix4fv(this.at.camera, false, camera);
    gl.uniform3fv(this.at.eye, eye);
    gl.uniform3fv(this.at.sun, V.unit(V.add(V.scale(eye, 0.6), V.add(V.scale(up, 0.8), V.scale(right, -0.5)))));
    const solid = this.parts.filter((p) => p.shown && p.colour[3] >= 1);
    const glassy = this.parts.filter((p) => p.shown && p.colour[3] < 1);
    glassy.sort((p, q) => V.dot(p.middle, eye) - V.dot(q.middle, eye));
    const mmPerPx = 2 * this.reach / cssH;
    for (const part of [...solid, ...glassy]) {
      gl.depthMask(part.colour[3] >= 1);
      gl.uniform4fv(this.at.colour, part.colour);
      gl.uniform1f(this.at.flatly, part.lines ? 1 : 0);
      gl.uniform1f(this.at.size, part.across ? Math.max(part.across, part.atLeast * mmPerPx) : 1);
      gl.uniform1f(this.at.grow, Math.max(0, part.least * mmPerPx / 2 - part.bar));
      gl[part.oneSided ? "enable" : "disable"](gl.CULL_FACE);
      gl.bindVertexArray(part.vao);
      gl.drawElements(part.lines ? gl.LINES : gl.TRIANGLES, part.count, gl.UNSIGNED_INT, 0);
    }
    gl.depthMask(true);
    this.place((p) => [
      (x[0] * p[0] + x[1] * p[1] + x[2] * p[2] + x[3] + 1) / 2 * cssW, (1 - y[0] * p[0] - y[1] * p[1] - y[2] * p[2] - y[3]) / 2 * cssH,
    ], cssW, cssH, this.moving, 1 / mmPerPx);
  }

  turnBy(dx, dy) {
    this.azimuth += dx;
    this.height = Math.max(-90, Math.min(90, this.height + dy));
    this.fitted = null;
    this.ask();
  }

  panBy(dx, dy) {
    const { right, up } = this.frame(), k = 2 * this.reach / Math.max(1, this.canvas.clientHeight);
    this.centre = V.add(this.centre, V.add(V.scale(right, -dx * k), V.scale(up, dy * k)));
    this.fitted = null;
    this.ask();
  }

  zoomBy(factor) {
    this.reach = Math.max(5, Math.min(1e6, this.reach / factor));
    this.fitted = null;
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
      if (e.ctrlKey || e.metaKey || e.altKey) return;
      const pan = e.shiftKey;
      const act = {
        ArrowLeft: () => pan ? this.panBy(40, 0) : this.turnBy(-10, 0), ArrowRight: () => pan ? this.panBy(-40, 0) : this.turnBy(10, 0),
        ArrowUp: () => pan ? this.panBy(0, 40) : this.turnBy(0, 10), ArrowDown: () => pan ? this.panBy(0, -40) : this.turnBy(0, -10),
        "+": () => this.zoomBy(1.2), "=": () => this.zoomBy(1.2), "-": () => this.zoomBy(1 / 1.2),
      }[e.key];
      if (act) { e.preventDefault(); e.stopPropagation(); act(); }
    });
  }
}
