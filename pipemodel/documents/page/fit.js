// On a phone held upright a pull stands on one screen: its words as large as the screen has room for, and the picture
// folded away, or as high as is left over. Of a way in, picture, slider and words stand on one screen everywhere.
"use strict";

const UPRIGHT = "(max-width: 59.99rem) and (min-height: 36rem)", REMS = [1.6, 1.5, 1.4, 1.3, 1.2, 1.125, 1.05, 1, 0.95, 0.9];
const PLAIN_REM = 1.125, OPENED = 180, LEAST_PICTURE = 200, MOST_PICTURE = 320, PEEK = 40;

class Fit {
  // `turned` is called when the picture was folded or unfolded by hand.
  constructor(turned) {
    this.upright = matchMedia(UPRIGHT);
    this.stage = document.getElementById("stage");
    this.wanted = null;
    this.turned = turned;
    // As high as the screen is with the browser's own bars shown: they come and go as the page is scrolled.
    this.screen = document.createElement("div");
    this.screen.className = "screen";
    document.body.append(this.screen);
    addEventListener("resize", () => { if (this.size !== this.sizeNow) this.to(this.step); });
  }

  get sizeNow() { return `${innerWidth} ${this.screen.offsetHeight}`; }

  get folded() { return this.stage.classList.contains("folded"); }

  // Open the picture if it is folded, and fold it if not; the person's choice stands for every pull.
  turn() {
    this.wanted = this.folded;
    this.to(this.step);
    this.turned();
  }

  to(step) {
    if (!step) return;
    const bender = step.dataset.view === "bender", walk = document.getElementById("walk");
    this.step = step;
    this.size = this.sizeNow;
    document.documentElement.dataset.view = step.dataset.view;
    walk.style.minHeight = "";
    this.say(step, PLAIN_REM);
    this.high(0);
    if (bender && this.upright.matches) this.pull(step); else this.fold(step, false);
    this.words(step);
    if (this.upright.matches) walk.style.minHeight = `${this.screen.offsetHeight - walk.getBoundingClientRect().top - scrollY}px`;
  }

  // Of a way in, room is kept for the words that take most, and beside the steps the picture is as high as is left over.
  words(step) {
    const words = document.getElementById("moving"), now = words.textContent, items = step.querySelectorAll(".actions li");
    words.style.minHeight = "";
    if (words.hidden || this.upright.matches) return;
    words.style.minHeight = `${Math.max(...Array.from(items, (li) => { words.textContent = li.textContent; return words.offsetHeight; }))}px`;
    words.textContent = now;
    const frame = this.stage.querySelector(".frame"), top = this.stage.parentElement.getBoundingClientRect().top + scrollY;
    const left = this.screen.offsetHeight - document.querySelector(".bar").offsetHeight - top - this.stage.offsetHeight;
    this.high(Math.min(frame.offsetHeight, Math.max(frame.offsetHeight + left - 4, LEAST_PICTURE)));
  }

  pull(step) {
    this.fold(step, true);
    const left = this.room(step);
    const none = document.documentElement.classList.contains("no-picture");
    if (!none && (this.wanted === true || (this.wanted === null && left >= LEAST_PICTURE))) {
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
    return this.screen.offsetHeight - document.querySelector(".bar").offsetHeight - PEEK - (step.querySelector(".do").getBoundingClientRect().bottom + scrollY);
  }

  say(step, rem) { step.style.setProperty("--say", `${rem}rem`); }

  high(px) { this.stage.style.setProperty("--high", px > 0 ? `${px}px` : ""); }

  fold(step, folded) {
    this.stage.classList.toggle("folded", folded);
    step.querySelector(".fold")?.setAttribute("aria-expanded", !folded);
  }
}
