// The ticks stay on this device, for exactly this job: another mark or turn is another job, with no ticks yet.
"use strict";

class Ticks {
  // `changed` is called after each tick; `may` tells whether a box may be ticked now, and says why not.
  constructor(changed, may) {
    this.changed = changed;
    this.may = may;
  }

  load(kept, boxes) {
    this.kept = kept;
    this.boxes = boxes;
    for (const box of boxes) {
      box.checked = kept.get(box.dataset.tick) === "1";
      box.addEventListener("change", () => {
        if (box.checked && !this.may(box)) box.checked = false;
        this.set(box, box.checked);
      });
    }
    this.changed();
  }

  set(box, checked) {
    box.checked = checked;
    this.kept.set(box.dataset.tick, checked ? "1" : "");
    this.changed();
  }

  get inWords() { return `«page.ticked|n=this.boxes.filter((b) => b.checked).length|all=this.boxes.length»`; }
}
