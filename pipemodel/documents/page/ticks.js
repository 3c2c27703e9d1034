// The ticks stay on this device, for exactly this job: another mark or turn is another job, with no ticks yet.
"use strict";

class Ticks {
  constructor(changed) { this.changed = changed; }

  load(identity, boxes) {
    this.boxes = boxes;
    for (const box of boxes) {
      const key = `pipemodel/${identity}/${box.dataset.tick}`;
      box.checked = this.get(key) === "1";
      box.addEventListener("change", () => { this.set(key, box.checked); this.changed(); });
    }
    this.changed();
  }

  get inWords() { return `«page.ticked|n=this.boxes.filter((b) => b.checked).length|all=this.boxes.length»`; }

  // A private window may keep nothing: then the ticks last as long as the page is open.
  get(key) { try { return localStorage.getItem(key); } catch { return null; } }

  set(key, value) { try { if (value) localStorage.setItem(key, "1"); else localStorage.removeItem(key); } catch { /* nothing to be done */ } }
}
