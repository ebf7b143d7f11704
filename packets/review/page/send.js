"use strict";
// What all pages share: answers sent as JSON, and work watched.
const review = (() => {
  const byId = (id) => document.getElementById(id);
  const base = document.body.dataset.base;
  const idle = Number(document.body.dataset.idleMinutes) * 60000;
  const told = byId("told");
  let ended = false, sending = false;

  const say = (words, place = told) => { if (place && place.textContent !== words) place.textContent = words; };

  async function send(path, content) {
    const how = content === undefined ? {} : {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(content),
    };
    const answer = await fetch(path, how);
    const text = await answer.text();
    let facts = {};
    try { facts = JSON.parse(text); } catch { facts = { what: text, remedy: "" }; }
    return { ok: answer.ok, status: answer.status, facts };
  }

  // The program behind the page is gone: say so once, and let nothing more be chosen.
  function lost(heading = "This page has ended", said = "The program that shows it does not answer any more. What was not confirmed here was not decided; run packets review again to see how things stand.") {
    if (ended) return;
    ended = true;
    for (const one of document.querySelectorAll("button, input, select, textarea")) one.disabled = true;
    const box = document.createElement("div");
    box.className = "lost";
    box.tabIndex = -1;
    box.setAttribute("role", "alert");
    const title = document.createElement("p");
    title.className = "lost-title";
    title.textContent = heading;
    const words = document.createElement("p");
    words.textContent = said;
    box.append(title, words);
    byId("main").prepend(box);
    document.title = `Ended: ${document.title}`;
    box.focus();
  }

  // Sends one answer; `place` hears what is wrong with it. True if it was taken.
  async function give(path, content, place, busy) {
    if (sending || ended) return null;
    sending = true;
    if (busy) busy.disabled = true;
    try {
      const { ok, facts } = await send(path, content);
      if (ok) return facts;
      say(`${sentence(facts.what)} ${sentence(facts.remedy)}`.trim(), place);
    } catch {
      lost();
    } finally {
      sending = false;
      if (busy && !ended) busy.disabled = false;
    }
    return null;
  }

  function sentence(words) {
    const text = (words || "").trim();
    if (!text) return "";
    const first = text[0].toUpperCase() + text.slice(1);
    return /[.?!]$/.test(first) ? first : `${first}.`;
  }

  // A person ends the pages: the last thing that is said here.
  byId("end")?.addEventListener("click", async () => {
    if (await give(`${base}end`, {}, told)) lost("These pages were ended", "Run packets review again to look at packets.");
  });

  const wait = (time) => new Promise((done) => setTimeout(done, time));

  // Asks again and again until the work has ended.
  async function watch(path, hear) {
    for (;;) {
      let facts;
      try { ({ facts } = await send(path)); } catch { lost(); return null; }
      if (facts.phase !== "waiting" && facts.phase !== "running") return facts;
      // Spoken only when another station begins; how far that one is, the bar shows.
      const bar = byId("bar");
      if (bar) { if (facts.share === null) bar.removeAttribute("value"); else bar.value = facts.share; }
      hear(sentence(facts.words));
      await wait(700);
    }
  }

  // A word that is to be read on the page that comes next.
  function later(words) {
    sessionStorage.setItem("told", words);
    history.scrollRestoration = "manual"; // that page begins at its top, where the word stands
  }
  function earlier() {
    const words = sessionStorage.getItem("told");
    if (!words) return;
    sessionStorage.removeItem("told");
    scrollTo(0, 0);
    byId("title").focus();
    setTimeout(() => { say(words); history.scrollRestoration = "auto"; }, 150);
  }

  function remember(field) {
    if (!field) return;
    field.value = sessionStorage.getItem("who") || "";
    field.addEventListener("input", () => sessionStorage.setItem("who", field.value));
  }

  // Starts a build and follows it; afterwards `next` opens.
  async function build(path, recipe, next) {
    const work = byId("work"), step = byId("step"), place = byId("told");
    if (recipe !== null && !(await give(path("build"), { recipe }, place, byId("build-now")))) return;
    byId("build-now").disabled = true;
    work.hidden = false;
    const came = await watch(path("work"), (words) => say(words, step));
    if (!came) return;
    if (came.phase === "failed") {
      work.hidden = true;
      byId("build-now").disabled = false;
      say(`${sentence(came.words)} ${sentence(came.remedy)}`, place);
      return;
    }
    later(came.words);
    location.replace(next);
  }

  keepHere({ idle, tell: () => send(`${base}alive`, {}), say, lost, ended: () => ended });

  return { byId, say, send, give, watch, later, earlier, remember, build, sentence, lost };
})();
