"use strict";
// Correcting one page: a place drawn or typed, and what is sent.
(() => {
  const { byId, say, give, watch } = review;
  const POINTS = 72;
  const { sha256, engagement } = byId("top").dataset;
  const who = byId("who");
  review.remember(who);
  const sheet = document.querySelector("#drawing .sheet");
  const fields = ["left", "down", "wide", "high"].map(byId);

  // The box that is drawn: a rectangle of the picture's own drawing, in points.
  let box = null;
  if (sheet && fields[0]) {
    const width = Number(sheet.dataset.width), height = Number(sheet.dataset.height);
    const space = "http://www.w3.org/2000/svg";
    const drawing = sheet.querySelector("svg");
    const draft = document.createElementNS(space, "rect");
    draft.setAttribute("class", "draft");
    drawing.append(draft);
    sheet.tabIndex = 0;
    sheet.setAttribute("role", "group");
    sheet.setAttribute("aria-label", "The page. Arrow keys move the box that hides a place.");
    sheet.setAttribute("aria-describedby", "how");
    sheet.classList.add("drawn");

    const show = (write) => {
      draft.toggleAttribute("hidden", !box);
      if (!box) return;
      const [x0, y0, x1, y1] = box;
      for (const [name, value] of [["x", x0], ["y", y0], ["width", x1 - x0], ["height", y1 - y0]]) draft.setAttribute(name, value);
      if (write) [x0, y0, x1 - x0, y1 - y0].forEach((value, i) => { fields[i].value = (value / POINTS).toFixed(2); });
    };
    const put = (x0, y0, x1, y1, write = true) => {
      const within = (value, most) => Math.min(most, Math.max(0, value));
      box = [within(Math.min(x0, x1), width), within(Math.min(y0, y1), height), within(Math.max(x0, x1), width), within(Math.max(y0, y1), height)];
      show(write);
    };

    let start = null;
    const place = (event) => {
      const area = drawing.getBoundingClientRect();
      return [(event.clientX - area.left) / area.width * width, (event.clientY - area.top) / area.height * height];
    };
    sheet.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      event.preventDefault();
      sheet.focus({ preventScroll: true });
      sheet.setPointerCapture(event.pointerId);
      start = place(event);
    });
    sheet.addEventListener("pointermove", (event) => { if (start) put(...start, ...place(event)); });
    const lift = () => {
      if (start && box) say(`The box is ${fields[2].value} by ${fields[3].value} inches. Say why, then choose Hide this place.`);
      start = null;
    };
    sheet.addEventListener("pointerup", lift);
    sheet.addEventListener("pointercancel", lift);

    for (const field of fields) {
      field.addEventListener("input", () => {
        const [x, y, w, h] = fields.map((one) => Number(one.value) * POINTS);
        if (w > 0 && h > 0) put(x, y, x + w, y + h, false); else { box = null; show(false); }
      });
    }
    sheet.addEventListener("keydown", (event) => {
      const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
      if (!way || event.ctrlKey || event.altKey || event.metaKey) return;
      event.preventDefault();
      if (!box) { put(width / 2 - 72, height / 2 - 12, width / 2 + 72, height / 2 + 12); return; }
      const [dx, dy] = way.map((one) => one * 3.6), [x0, y0, x1, y1] = box;
      if (event.shiftKey) put(x0, y0, Math.max(x0 + 3.6, x1 + dx), Math.max(y0 + 3.6, y1 + dy));
      else if (x0 + dx >= 0 && x1 + dx <= width && y0 + dy >= 0 && y1 + dy <= height) put(x0 + dx, y0 + dy, x1 + dx, y1 + dy);
    });
    show(false);
  }

  const need = (id, words) => {
    const field = byId(id);
    if (field.value.trim()) return field.value.trim();
    say(words);
    field.focus();
    return null;
  };
  const forms = {
    category: () => {
      const category = need("category", "The category is missing.");
      return category && { pages: byId("category-pages").value, category };
    },
    "leave-out": () => {
      const why = need("leave-why", "Say why it is left out.");
      return why && { pages: byId("leave-pages").value, why };
    },
    hide: () => {
      if (!box) { say("Draw a box on the picture first, or fill in where it lies."); fields[0].focus(); return null; }
      const why = need("hide-why", "Say why this place is hidden.");
      return why && { box, why };
    },
    "not-a-number": () => {
      const chosen = document.querySelector("input[name=mark]:checked");
      if (!chosen) { say("Choose which mask was wrong."); document.querySelector("input[name=mark]").focus(); return null; }
      const why = need("number-why", "Say why it is no number of a person, and what it is.");
      return why && { mark: Number(chosen.value), sha256, why };
    },
  };

  let known = engagement;
  for (const button of document.querySelectorAll("[data-send]")) {
    button.addEventListener("click", async () => {
      const kind = button.dataset.send, rest = forms[kind]();
      if (!rest) return;
      if (!who.value.trim()) { say("Your name is missing: it goes on record with the correction."); who.focus(); return; }
      const came = await give("correct", { correction: { kind, who: who.value, engagement: known, ...rest } }, byId("told"), button);
      if (!came) return;
      known = came.engagement;
      say(came.what);
      byId("after").hidden = false;
      byId("build-now").focus();
    });
  }

  const client = byId("top").dataset.client;
  byId("build-now").addEventListener("click", (event) => {
    review.build((name) => `${document.body.dataset.base}${client}/${name}`, event.target.dataset.recipe, byId("back").getAttribute("href"));
  });

  const source = byId("show-source");
  source?.addEventListener("click", async () => {
    source.disabled = true;
    if (!(await give("left-out", {}, byId("unshown")))) { source.disabled = false; return; }
    const came = await watch("left-out", (words) => say(words, byId("unshown")));
    if (!came) return;
    if (came.phase === "failed" || !came.shown.length) {
      say(came.unshown.length ? `It cannot be shown without its numbers: ${came.unshown[0][2]}.` : `${review.sentence(came.words)} ${review.sentence(came.remedy)}`, byId("unshown"));
      return;
    }
    location.reload();
  });
  review.earlier();
})();
