// The live view: when the job was saved, its new page is put in the old one's place and the camera stays where it is.
// When the text is wrong, the last good picture stays and what is wrong is said over it, with its line.
"use strict";

(function () {
  const box = document.createElement("section");
  box.id = "live-wrong";
  box.setAttribute("role", "alert");
  box.hidden = true;
  const style = document.createElement("style");
  style.textContent = `
    #live-wrong { position: fixed; inset: 0 0 auto 0; max-height: 50vh; overflow: auto; z-index: 9; padding: .6rem 1rem; margin: 0;
      background: #fff4f2; color: #14181c; border-bottom: 5px solid #a11212; font: 1.05rem/1.4 system-ui, sans-serif; }
    #live-wrong p { margin: 0 0 .3rem; }
    #live-wrong ul { list-style: none; margin: 0; padding: 0; }
    #live-wrong li { margin: .4rem 0; overflow-wrap: anywhere; }
    #live-wrong b { color: #a11212; }
    #live-wrong code { display: block; white-space: pre-wrap; background: #ffffff; border-left: 3px solid #a11212; padding: 0 .5rem; font-size: .95rem; }`;
  document.head.append(style);
  document.body.append(box);

  const put = (parent, name, text) => { const e = document.createElement(name); e.textContent = text; parent.append(e); return e; };

  function tell(state) {
    box.hidden = !state.wrong.length;
    box.replaceChildren();
    if (!state.wrong.length) return;
    put(box, "p", state.good ? "«live.wrong, last good»" : "«live.wrong»");
    const list = put(box, "ul", "");
    for (const fault of state.wrong) {
      const item = put(list, "li", "");
      put(item, "b", `«live.line|file=fault.file|line=fault.line»`);
      put(item, "span", fault.message);
      if (fault.text.trim()) put(item, "code", fault.text);
    }
  }

  function gone() {
    box.hidden = false;
    box.replaceChildren();
    put(box, "p", "«live.stopped»");
  }

  let good = null, busy = Promise.resolve();
  async function take(state) {
    if (good !== null && state.good !== good) {
      if (typeof page === "undefined") { location.reload(); return; }
      const answer = await fetch("/", { cache: "no-store" });
      if (answer.ok) page.renew(await answer.text());
    }
    good = state.good;
    tell(state);
    document.documentElement.dataset.live = state.number;
  }

  // A browser opens few connections to one server: with many tabs open, some are asked to come back later instead of
  // being kept waiting for news.
  function listen() {
    const news = new EventSource("/news");
    news.addEventListener("message", (event) => { busy = busy.then(() => take(JSON.parse(event.data))).catch(gone); });
    news.addEventListener("later", () => { news.close(); setTimeout(listen, 1000); });
    news.addEventListener("error", gone);
  }
  listen();
}());
