"use strict";
// The front page: search as one types, and builds started from the list.
(() => {
  const { byId, say, send, give, sentence, lost } = review;
  const rows = [...document.querySelectorAll("tr[data-client]")];
  const search = byId("search"), found = byId("found");

  function filter() {
    const words = search.value.toLowerCase().split(/\s+/).filter(Boolean);
    let left = 0;
    for (const row of rows) {
      const fits = words.every((word) => row.dataset.words.includes(word));
      row.hidden = !fits;
      if (fits) left++;
    }
    say(words.length ? `${left} of ${rows.length} client folders` : "", found);
  }
  search.addEventListener("input", filter);
  byId("find").addEventListener("submit", (event) => event.preventDefault());
  filter();

  let watching = false;
  const started = new Set();

  async function follow() {
    if (watching) return;
    watching = true;
    for (;;) {
      let under;
      try { under = (await send("works")).facts; } catch { lost(); return; }
      for (const row of rows) {
        const one = under[row.dataset.client];
        if (one) {
          started.add(row.dataset.client);
          row.querySelector("[data-note]").textContent = sentence(one.words);
          const button = row.querySelector("[data-build]");
          if (button) button.disabled = true;
        }
      }
      const over = [...started].filter((letters) => !under[letters]);
      for (const letters of over) { started.delete(letters); await ended(letters); }
      if (!Object.keys(under).length && !started.size) break;
      await new Promise((done) => setTimeout(done, 800));
    }
    watching = false;
  }

  async function ended(letters) {
    const row = rows.find((one) => one.dataset.client === letters);
    let came;
    try { came = (await send(`${letters}/work`)).facts; } catch { lost(); return; }
    const name = row.querySelector("th a").textContent;
    const words = came.phase === "failed" ? `${sentence(came.words)} ${sentence(came.remedy)}` : sentence(came.words);
    row.querySelector("[data-note]").textContent = words;
    row.querySelector(".state strong").textContent = came.phase === "failed" ? `${came.state}, not built` : came.state;
    row.querySelector("[data-build]").disabled = false;
    say(`${name}: ${words}`);
  }

  for (const button of document.querySelectorAll("[data-build]")) {
    button.addEventListener("click", async () => {
      const row = button.closest("tr"), letters = row.dataset.client;
      if (await give(`${letters}/build`, { recipe: button.dataset.build }, byId("told"), button)) {
        started.add(letters);
        button.disabled = true;
        say(`Building for ${row.querySelector("th a").textContent}.`);
        follow();
      }
    });
  }
  follow();
  review.earlier();
})();
