// On a phone held upright a pull stands on one screen: its words as large as the screen has room for, and the picture
// folded away, or as high as is left over.
"use strict";

const UPRIGHT = "(max-width: 59.99rem) and (min-height: 36rem)", REMS = [1.6, 1.5, 1.4, 1.3, 1.2, 1.125, 1.05, 1, 0.95, 0.9];
const PLAIN_REM = 1.125, OPENED = 180, LEAST_PICTURE = 200, MOST_PICTURE = 320, PEEK = 40;

class Fit {
  // `changed` is called when the picture was folded or unfolded.
  constructor(changed) {
    this.upright = matchMedia(UPRIGHT);
    this.stage = document.getElementById("stage");
    this.wanted = null;
    this.changed = changed;
    this.wide = 0;
    // A keyboard that comes up changes the height alone.
    addEventListener("resize", () => { if (innerWidth !== this.wide || !document.activeElement?.matches("input[type=text]")) this.to(this.step); });
  }

  get folded() { return this.stage.classList.contains("folded"); }

  // Open the picture if it is folded, and fold it if not; the person's choice stands for every pull.
  turn() {
    this.wanted = this.folded;
    this.to(this.step);
  }

  to(step) {
    if (!step) return;
    const bender = step.dataset.view === "bender", walk = document.getElementById("walk");
    this.step = step;
    this.wide = innerWidth;
    document.documentElement.dataset.view = step.dataset.view;
    walk.style.minHeight = "";
    this.say(step, PLAIN_REM);
    this.high(0);
    if (bender && this.upright.matches) this.pull(step); else this.fold(step, false);
    if (this.upright.matches) walk.style.minHeight = `${innerHeight - walk.getBoundingClientRect().top - scrollY}px`;
    this.changed();
  }

  pull(step) {
    this.fold(step, true);
    const left = this.room(step);
    if (this.wanted === true || (this.wanted === null && left >= LEAST_PICTURE)) {
      this.fold(step, false);
      this.high(Math.min(Math.max(left, OPENED), MOST_PICTURE) - document.getElementById("pulling").offsetHeight - 4);
    }
    for (const rem of REMS) {
      this.say(step, rem);
      if (this.room(step) >= (rem < 1 ? -PEEK : 0)) return;
    }
  }

  // How much height is left on the screen under what the hands do; less than 0 where there is too little.
  room(step) {
    return innerHeight - document.querySelector(".bar").offsetHeight - PEEK - (step.querySelector(".do").getBoundingClientRect().bottom + scrollY);
  }

  say(step, rem) { step.style.setProperty("--say", `${rem}rem`); }

  high(px) { this.stage.style.setProperty("--high", px > 0 ? `${px}px` : ""); }

  fold(step, folded) {
    this.stage.classList.toggle("folded", folded);
    step.querySelector(".fold")?.setAttribute("aria-expanded", !folded);
  }
}
