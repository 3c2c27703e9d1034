// What stays on this device for one job. A window that keeps nothing (a private one) has it as long as the page is open.
"use strict";

class Kept {
  constructor(identity) {
    this.before = `pipemodel/${identity}/`;
    this.here = new Map();
  }

  get(key) {
    try { return localStorage.getItem(this.before + key) ?? this.here.get(key) ?? ""; } catch { return this.here.get(key) ?? ""; }
  }

  // An empty text is kept as nothing.
  set(key, text) {
    this.here.set(key, text);
    try { if (text) localStorage.setItem(this.before + key, text); else localStorage.removeItem(this.before + key); } catch { /* it stays in `here` */ }
  }
}
