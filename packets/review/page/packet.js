"use strict";
// One packet: pages drawn as they come into view, marks stepped through, decisions sent.
(() => {
  const { byId, say, give, send, watch, later } = review;
  const marks = [...document.querySelectorAll("g.mark")];
  const pages = [...document.querySelectorAll("figure.page")];
  let at = -1;

  // A picture is asked for when its place comes near, and given up when it is far again.
  const near = new IntersectionObserver((entries) => {
    for (const { target, isIntersecting } of entries) {
      if (isIntersecting && !target.getAttribute("src")) target.src = target.dataset.src;
      else if (!isIntersecting && target.dataset.src && target.getAttribute("src") && !target.complete) target.removeAttribute("src");
      else if (!isIntersecting && target.dataset.src && pages.length > 60 && target.getAttribute("src")) target.removeAttribute("src");
    }
  }, { rootMargin: "1400px 0px" });
  for (const picture of document.querySelectorAll("img[data-src]")) near.observe(picture);

  function choose(index, focus) {
    if (index < 0 || index >= marks.length) return;
    for (const old of document.querySelectorAll(".chosen")) old.classList.remove("chosen");
    at = index;
    const mark = marks[at], number = mark.dataset.mark, row = byId(`mark-${number}`);
    mark.classList.add("chosen");
    mark.parentNode.append(mark); // drawn last, so that nothing lies over it
    row.classList.add("chosen");
    mark.scrollIntoView({ block: "center" });
    const button = row.querySelector("button");
    if (focus) button.focus({ preventScroll: true });
    say(`Mark ${number} of ${marks.length}, page ${button.dataset.page}: ${words(button)}`, byId("now"));
    byId("before").disabled = at === 0;
    byId("next").disabled = at === marks.length - 1;
  }

  const words = (button) => button.lastChild.textContent.trim();

  // The mark after the chosen one; where none was chosen, the first at or below what is seen.
  function step(by) {
    if (!marks.length) return;
    if (at < 0) {
      const seen = marks.findIndex((mark) => mark.getBoundingClientRect().bottom > 80);
      choose(seen < 0 ? marks.length - 1 : by > 0 ? seen : Math.max(0, seen - 1), false);
    } else choose(Math.min(marks.length - 1, Math.max(0, at + by)), false);
  }

  function current() {
    const middle = innerHeight / 3;
    return pages.findIndex((page) => page.getBoundingClientRect().bottom > middle);
  }

  function turn(by) {
    const now = current();
    const next = pages[Math.min(pages.length - 1, Math.max(0, (now < 0 ? pages.length : now) + by))];
    if (!next) return;
    next.focus({ preventScroll: true });
    next.scrollIntoView({ block: "start" });
    say(next.querySelector("h4").textContent, byId("now"));
  }

  if (byId("stepper")) {
    if (!marks.length) byId("stepper").hidden = true;
    byId("next").addEventListener("click", () => step(1));
    byId("before").addEventListener("click", () => step(-1));
  }
  for (const button of document.querySelectorAll("[data-show]")) {
    button.addEventListener("click", () => choose(marks.findIndex((mark) => mark.dataset.mark === button.dataset.show), false));
  }

  // The page without its marks, as the client will see it.
  function draw() { document.body.classList.toggle("no-marks", !byId("marks-on").checked); }
  byId("marks-on")?.addEventListener("change", draw);

  // Large pages may be wider than the window: then each is a place that arrow keys scroll.
  function enlarge() {
    const large = byId("large").checked, seen = pages[current()];
    document.body.classList.toggle("large", large);
    for (const turn of document.querySelectorAll(".turn")) {
      if (large) turn.tabIndex = 0; else turn.removeAttribute("tabindex");
    }
    seen?.scrollIntoView({ block: "start" });
  }
  byId("large")?.addEventListener("change", enlarge);

  const on = byId("keys-on");
  if (on) {
    on.checked = sessionStorage.getItem("keys") !== "off";
    on.addEventListener("change", () => sessionStorage.setItem("keys", on.checked ? "on" : "off"));
  }
  document.addEventListener("keydown", (event) => {
    if (!on || !on.checked || event.ctrlKey || event.altKey || event.metaKey) return;
    if (event.target.closest("input:not([type=checkbox]), textarea, select")) return;
    const key = (event.shiftKey ? "Shift+" : "") + event.key.toLowerCase();
    const action = {
      n: () => step(1), b: () => step(-1),
      "Shift+n": () => turn(1), "Shift+b": () => turn(-1),
      c: () => { const link = pages[current()]?.querySelector("figcaption a"); if (link) link.click(); },
      m: () => { const drawn = byId("marks-on"); if (drawn) { drawn.checked = !drawn.checked; draw(); say(drawn.checked ? "Marks are drawn." : "Marks are hidden.", byId("now")); } },
      l: () => { const large = byId("large"); if (large) { large.checked = !large.checked; enlarge(); say(large.checked ? "Pages are large." : "Pages fit the window.", byId("now")); } },
      d: () => { byId("decide").focus(); byId("decide").scrollIntoView(); },
    }[key];
    if (!action) return;
    event.preventDefault();
    action();
  });

  for (const details of document.querySelectorAll("details[data-words]")) {
    details.addEventListener("toggle", async () => {
      const text = details.querySelector("pre");
      if (!details.open || text.dataset.read) return;
      text.dataset.read = "yes";
      try {
        const answer = await fetch(details.dataset.words);
        text.textContent = answer.ok ? await answer.text() || "This page holds no words, only a picture." : "The words are not there any more. Load the page again.";
      } catch { review.lost(); }
    });
  }

  // Pages that stay out.
  const show = byId("show-left-out");
  async function leftOut() {
    show.disabled = true;
    if (!(await give("left-out", {}, byId("left-out-told")))) { show.disabled = false; return; }
    const came = await watch("left-out", (words) => say(words, byId("left-out-told")));
    if (!came) return;
    if (came.phase === "failed") {
      say(`${review.sentence(came.words)} ${review.sentence(came.remedy)}`, byId("left-out-told"));
      show.disabled = false;
      return;
    }
    const slot = (file, page) => document.querySelector(`li[data-file="${file}"][data-page="${page}"] .slot`);
    for (const [file, page, width, height] of came.shown) {
      const picture = new Image(width, height), place = slot(file, page);
      if (!place) continue;
      picture.alt = `Left out: ${place.parentNode.querySelector("strong").textContent}, masked`;
      picture.dataset.src = `../shown/${file}/${page}.png`;
      place.replaceChildren(picture);
      near.observe(picture);
    }
    for (const [file, page, why] of came.unshown) {
      const line = document.createElement("p");
      line.className = "unshown";
      line.textContent = `It cannot be shown without its numbers: ${why}. Look at the file itself.`;
      slot(file, page)?.replaceChildren(line);
    }
    say(`${came.shown.length} shown${came.unshown.length ? `, ${came.unshown.length} cannot be shown` : ""}.`, byId("left-out-told"));
    show.hidden = true;
  }
  if (show) {
    show.addEventListener("click", leftOut);
    // They are made ready when one comes near, unless they are so many that it takes long.
    const coming = new IntersectionObserver((entries) => {
      if (!entries.some((entry) => entry.isIntersecting)) return;
      coming.disconnect();
      if (!show.disabled) leftOut();
    });
    if (document.querySelectorAll(".left li").length <= 60) coming.observe(show);
  }

  byId("any")?.addEventListener("click", () => {
    const file = byId("any-file").selectedOptions[0], page = Number(byId("any-page").value);
    if (page >= 1 && page <= Number(file.dataset.pages)) location.assign(`source/${file.value}/${page}/`);
    else { say(`This file has ${file.dataset.pages} pages.`, byId("left-out-told")); byId("any-page").focus(); }
  });

  // Decisions.
  const sha256 = byId("top").dataset.sha256, who = byId("who");
  review.remember(who);
  const decided = byId("decided");
  async function decide(path, content, button, words) {
    if (!who.value.trim()) { say("Your name is missing: it goes on record with the decision.", decided); who.focus(); return; }
    if (await give(path, { who: who.value, sha256, ...content }, decided, button)) {
      later(words);
      location.reload();
    }
  }
  byId("release")?.addEventListener("click", (event) => {
    if (!byId("looked").checked) { say("Tick the box that says that you looked, if you did.", decided); byId("looked").focus(); return; }
    decide("release", { looked: true }, event.target, "Released. It lies in outbound/ and may be sent with packets mail.");
  });
  byId("hold")?.addEventListener("click", (event) => {
    const note = byId("note");
    if (!note.value.trim()) { say("A hold needs a note that says why.", decided); note.focus(); return; }
    decide("hold", { note: note.value }, event.target, "Held. The note is on record; the packet stays here.");
  });

  // A build, by the recipe that is chosen; afterwards the page shows what came of it.
  const now = byId("build-now");
  now?.addEventListener("click", () => {
    const chosen = byId("recipe").selectedOptions[0];
    review.build((name) => `../${name}`, chosen.value, chosen.hasAttribute("data-its") ? "./" : "../");
  });
  if (now && now.disabled) review.build((name) => `../${name}`, null, "../");
  review.earlier();
})();
