"use strict";
// The pad: collects strokes and shows them. What is kept is drawn by the server from the
// same strokes; nothing that this script draws is sent.
(() => {
  const byId = (id) => document.getElementById(id);
  const pad = byId("pad"), paper = byId("paper"), told = byId("told"), consent = byId("consent");
  const accept = byId("accept"), undo = byId("undo"), clear = byId("clear"), decline = byId("decline");
  const width = pad.width, height = pad.height; // units of the pad
  const idle = Number(document.body.dataset.idleMinutes) * 60000;
  const MOST_POINTS = 5900, MOST_STROKES = 100;
  const pen = pad.getContext("2d");
  let strokes = [], drawing = null, start = 0, ended = false, points = 0, sending = false;

  const say = (words) => { told.textContent = words; };

  function fit() {
    const scale = Math.max(1, (pad.clientWidth / width) * (window.devicePixelRatio || 1));
    pad.width = Math.round(width * scale);
    pad.height = Math.round(height * scale);
    pen.setTransform(scale, 0, 0, scale, 0, 0);
    pen.lineCap = pen.lineJoin = "round";
    pen.strokeStyle = pen.fillStyle = "#111a42";
    for (const stroke of strokes) ink(stroke, 0);
  }

  function ink(stroke, from) {
    const first = stroke[0];
    if (from === 0) {
      pen.beginPath();
      pen.arc(first[0], first[1], 2.2, 0, 2 * Math.PI);
      pen.fill();
    }
    for (let i = Math.max(1, from); i < stroke.length; i++) {
      const [x0, y0] = stroke[i - 1], [x1, y1, , pressure] = stroke[i];
      pen.lineWidth = pressure > 0 ? 2.8 + 4.8 * pressure : 4.4;
      pen.beginPath();
      pen.moveTo(x0, y0);
      pen.lineTo(x1, y1);
      pen.stroke();
    }
  }

  function state() {
    const drawn = strokes.length > 0;
    undo.disabled = clear.disabled = !drawn || ended || sending;
    accept.disabled = !drawn || !consent.checked || ended || sending;
    decline.disabled = consent.disabled = ended || sending;
    pad.setAttribute("aria-label", drawn ? `Signing pad, ${strokes.length} strokes drawn` : "Signing pad, empty");
  }

  function point(event) {
    const box = pad.getBoundingClientRect();
    const within = (value, most) => Math.min(most, Math.max(0, Math.round(value * 100) / 100));
    const last = drawing && drawing.length ? drawing[drawing.length - 1][2] : (strokes.length ? strokes.at(-1).at(-1)[2] : 0);
    return [
      within((event.clientX - box.left) / box.width * width, width),
      within((event.clientY - box.top) / box.height * height, height),
      Math.max(last, Math.round(event.timeStamp - start)),
      event.pointerType === "pen" ? within(event.pressure, 1) : 0,
    ];
  }

  pad.addEventListener("pointerdown", (event) => {
    if (ended || sending || drawing || event.button !== 0 || points >= MOST_POINTS || strokes.length >= MOST_STROKES) return;
    event.preventDefault();
    pad.setPointerCapture(event.pointerId);
    if (!strokes.length) start = event.timeStamp;
    drawing = [];
    drawing.pointer = event.pointerId;
    drawing.push(point(event));
    points++;
    ink(drawing, 0);
    here();
  });

  pad.addEventListener("pointermove", (event) => {
    if (!drawing || event.pointerId !== drawing.pointer) return;
    const coalesced = event.getCoalescedEvents ? event.getCoalescedEvents() : [];
    const from = drawing.length;
    for (const each of coalesced.length ? coalesced : [event]) {
      if (points >= MOST_POINTS) break;
      drawing.push(point(each));
      points++;
    }
    ink(drawing, from);
  });

  function lift(event) {
    if (!drawing || event.pointerId !== drawing.pointer) return;
    strokes.push(drawing);
    drawing = null;
    say(consent.checked ? "" : "Tick the box under the sentence above, then choose Accept.");
    state();
  }
  pad.addEventListener("pointerup", lift);
  pad.addEventListener("pointercancel", lift);

  function takeBack() {
    if (undo.disabled) return;
    points -= strokes.pop().length;
    fit();
    state();
    say("The last stroke is gone.");
    if (undo.disabled) paper.focus();
  }

  function wipe() {
    if (clear.disabled) return;
    strokes = [];
    points = 0;
    fit();
    state();
    say("The pad is empty.");
    paper.focus();
  }

  async function send(path, content) {
    const answer = await fetch(path, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(content),
    });
    const text = await answer.text();
    let facts = {};
    try { facts = JSON.parse(text); } catch { facts = { what: text, remedy: "" }; }
    return { ok: answer.ok, status: answer.status, facts };
  }

  function end(heading, words) {
    ended = true;
    state();
    byId("main").replaceChildren();
    document.querySelector("footer").remove();
    document.querySelector(".skip").remove();
    const title = document.querySelector("h1");
    title.textContent = heading;
    document.title = heading;
    const line = document.createElement("p");
    line.textContent = words;
    line.setAttribute("role", "status");
    byId("main").append(line);
    title.tabIndex = -1;
    title.focus();
  }

  const LOST = ["This page has ended", "Nothing was signed in this window. Ask the office how to go on."];

  async function deliver() {
    if (accept.disabled) return;
    sending = true;
    state();
    say("Recording …");
    try {
      const { ok, status, facts } = await send("signature", { consent: consent.checked, strokes });
      if (ok) {
        end("Signed. Thank you.", `Recorded as ${facts.grant} at ${facts.given_at}. You may hand the device back; this page is closed.`);
      } else if (status === 422) {
        sending = false;
        state();
        say(`${facts.what}. ${facts.remedy}`);
      } else {
        end("Not recorded", `${facts.what} ${facts.remedy}`);
      }
    } catch {
      end("The office's program does not answer", "It is not certain whether the signature was recorded. Ask the office to look.");
    }
  }

  async function refuse() {
    sending = true;
    state();
    try {
      await send("decline", {});
      end("Not signed", "Nothing was recorded. You may hand the device back; this page is closed.");
    } catch {
      end(...LOST);
    }
  }

  accept.addEventListener("click", deliver);
  undo.addEventListener("click", takeBack);
  clear.addEventListener("click", wipe);
  decline.addEventListener("click", refuse);
  consent.addEventListener("change", () => { state(); if (consent.checked) say(""); });
  paper.addEventListener("keydown", (event) => {
    if (event.target !== paper || event.ctrlKey || event.altKey || event.metaKey) return;
    const action = { Backspace: takeBack, Delete: wipe, Enter: deliver }[event.key];
    if (!action) return;
    event.preventDefault();
    action();
  });

  keepHere({
    idle,
    tell: () => send("alive", {}),
    say,
    lost: () => end(...LOST),
    ended: () => ended,
    busy: () => sending,
  });

  window.addEventListener("resize", fit);
  fit();
  state();
})();
