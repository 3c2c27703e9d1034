// Long work done in slices, so that the page hears fingers meanwhile.
"use strict";

const FIRST_MS = 12, SLICE_MS = 10;

class Slices {
  // Go on with `work`, a generator, until a time; `then` is called at its end. Where the end is not reached by then, `waiting`
  // is called, and again with each value that is yielded later. Work begun before is given up.
  start(work, then, waiting, until = performance.now() + FIRST_MS) {
    this.stop();
    Object.assign(this, { work, then });
    this.go(until, waiting, true);
  }

  go(until, waiting, first) {
    let step, news;
    try {
      do {
        step = undefined;
        step = this.work.next();
        news = step.value ?? news;
      } while (!step.done && performance.now() < until);
    } finally {
      // What fails ends as well: nobody is to wait for it.
      if (step?.done ?? true) { this.work = undefined; this.then(); }
    }
    if (step.done) return;
    this.timer = setTimeout(() => this.go(performance.now() + SLICE_MS, waiting));
    if (first || news) waiting(news);
  }

  // Do the rest at once.
  finish() {
    clearTimeout(this.timer);
    if (this.work) this.go(Infinity);
  }

  stop() {
    clearTimeout(this.timer);
    this.work = undefined;
  }
}
