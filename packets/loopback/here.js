"use strict";
// Whether somebody is here: tells the server, but not more often than needed, and warns before
// the end. The page gives `idle` (milliseconds), `tell` (a promise), `say`, `lost`, and whether
// it has `ended` or is `busy` with an answer under way.
const keepHere = ({ idle, tell, say, lost, ended, busy = () => false }) => {
  const quiet = Math.min(20000, idle / 4), warning = Math.min(120000, idle / 2);
  let lastSign = performance.now(), lastTold = lastSign, warned = false;
  function here() {
    lastSign = performance.now();
    if (warned) { warned = false; say("The page stays open."); }
    if (ended() || lastSign - lastTold < quiet) return;
    lastTold = lastSign;
    tell().catch(() => { if (!ended() && !busy()) lost(); });
  }
  for (const kind of ["pointerdown", "keydown", "wheel", "scroll", "touchmove"]) {
    document.addEventListener(kind, here, { passive: true });
  }
  setInterval(() => {
    const silence = performance.now() - lastSign;
    if (ended() || busy()) return;
    if (silence >= idle + 2000) lost();
    else if (silence >= idle - warning && !warned) {
      warned = true;
      lastTold = 0;
      say("Nothing has happened for a while. Touch the page or press a key, or it ends soon.");
    }
  }, 1000);
};
