// A table too wide for the screen has its rows stacked; which are, depends on the words in it and on the screen.
"use strict";

function stackTables() {
  const boxes = [...document.querySelectorAll(".table")];
  for (const box of boxes) box.classList.remove("stacked");
  const wide = boxes.filter((box) => box.scrollWidth > box.clientWidth + 1);
  for (const box of wide) box.classList.add("stacked");
}
