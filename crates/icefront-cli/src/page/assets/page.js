// Makes the form answer while something is set. Without this script the form works by its buttons.
"use strict";

(() => {
  const REST_MS = 350; // nothing moved for so long: ask for the whole answer
  const BUSY_MS = 1000; // after being turned away
  const MOST_TRIES = 5;
  const NOTED = ["read", "unread"]; // done at once, even where the whole answer follows later
  const ONCE = [...NOTED, "log", "learn"]; // what must not be done twice
  const KEPT = "icefront " + location.pathname; // what was set and not saved, for this tab

  const form = () => document.getElementById("load");
  const byId = (id) => document.getElementById(id);

  let rest; // waits for things to rest
  let running; // the request under way: {dragging, stop}
  let next; // the newest that waits for it to end; older ones are dropped
  let tries = 0;
  let pressed = false; // a button is held down: nothing may move away from under it

  // Sliders.

  function showSliders() {
    for (const slider of document.querySelectorAll("input.slider")) {
      slider.hidden = false;
    }
  }

  function slid(slider) {
    const field = byId(slider.dataset.for);
    field.value = slider.dataset.before + slider.value + slider.dataset.after;
    slider.setAttribute("aria-valuetext", field.value);
  }

  function typed(field) {
    const slider = byId(field.id.replace(/^f\./, "s."));
    const number = field.value.match(/-?\d+(\.\d+)?/);
    if (slider && number) {
      slider.value = number[0];
      slider.dataset.before = field.value.slice(0, number.index);
      slider.dataset.after = field.value.slice(number.index + number[0].length);
      slider.setAttribute("aria-valuetext", field.value);
    }
  }

  // Asking.

  function ask(dragging, act) {
    clearTimeout(rest);
    if (dragging) {
      rest = setTimeout(() => ask(false), REST_MS);
    }
    next = { dragging, act: act || (next && next.act) };
    if (running && !running.dragging && !running.once) {
      running.stop.abort();
    } else if (!running) {
      send();
    }
  }

  async function send() {
    const asked = next;
    next = undefined;
    running = { dragging: asked.dragging, once: ONCE.includes(asked.act), stop: new AbortController() };
    // a sheet that is put back counts alone: the fields still show another
    const body = asked.act === "show" ? new URLSearchParams(keptFields()) : new URLSearchParams(new FormData(form()));
    body.set("pace", asked.dragging ? "drag" : "rest");
    if (asked.act) {
      body.set("do", asked.act);
    }
    byId("answer").setAttribute("aria-busy", "true");
    try {
      const response = await fetch("/live", { method: "POST", body, signal: running.stop.signal });
      if (response.ok) {
        const parts = await response.text();
        for (let waits = 0; pressed && waits < 50; waits += 1) {
          await new Promise((done) => setTimeout(done, 20));
        }
        put(parts, asked);
      } else if (response.status === 503) {
        again("Many ask at once; it asks again.", asked.act);
      } else {
        say(await response.text());
      }
    } catch (error) {
      if (error.name !== "AbortError") {
        say("The page cannot be reached; is icefront still running?");
      } else if (asked.act && !next.act) {
        next.act = asked.act; // a button is not dropped
      }
    }
    running = undefined;
    const answer = byId("answer");
    answer.removeAttribute("aria-busy");
    if (next) {
      send();
    } else if (!asked.dragging && answer.dataset.whole === "false") {
      again("The whole answer follows.", NOTED.includes(asked.act) ? "update" : asked.act);
    } else if (!asked.dragging) {
      tries = 0;
      say(byId("now").textContent);
    }
  }

  function again(words, act) {
    if (tries < MOST_TRIES) {
      tries += 1;
      say(words);
      rest = setTimeout(() => ask(false, act), BUSY_MS * tries);
    }
  }

  function say(words) {
    byId("status").textContent = words;
  }

  // Putting the parts of an answer in their places.

  function put(text, asked) {
    const parts = new DOMParser().parseFromString(text, "text/html").body;
    const focused = document.activeElement && document.activeElement.id;
    for (const part of [...parts.children]) {
      if (part.id === "now-words") {
        byId("now").replaceChildren(...part.childNodes);
        continue;
      }
      const old = byId(part.id);
      if (part.id === "load" && next) {
        next.act = next.act || asked.act; // the form was changed meanwhile: once more, from what it is now
        continue;
      }
      const written = part.id === "text" && old.contains(document.activeElement);
      if (!written) {
        keepOpen(old, part);
        old.replaceWith(part);
      }
    }
    markWrong();
    showSliders();
    keep();
    const at = document.activeElement;
    const free = !at || at === document.body || at.tagName === "BUTTON"; // nobody writes anything
    if (free && byId("told") && asked.act && !/^(answer|show|add|up|down|remove)/.test(asked.act)) {
      byId("told").focus();
      return;
    }
    if (focused && byId(focused) && document.activeElement.id !== focused) {
      byId(focused).focus({ preventScroll: true });
    }
  }

  // What was set and not saved outlives a reload.

  const field = (name) => form().querySelector(`[name="${name}"]`);
  const keptFields = () => ["sheet", "file", "version"].map((name) => [name, field(name).value]);
  const opened = form() ? byId("sheet").value : "";

  function keep() {
    const now = Object.fromEntries(keptFields());
    if (now.sheet === opened) {
      forget();
    } else {
      store((tab) => tab.setItem(KEPT, JSON.stringify(now)));
    }
  }

  function forget() {
    store((tab) => tab.removeItem(KEPT));
  }

  function store(work) {
    try {
      return work(sessionStorage);
    } catch {
      return null; // a browser that keeps nothing
    }
  }

  /** Puts back what was kept; gives whether anything was. */
  function putBack() {
    const text = store((tab) => tab.getItem(KEPT));
    const kept = text && JSON.parse(text);
    // what was sent by a button shows what it sent, unless it is loaded anew
    const [way] = performance.getEntriesByType("navigation");
    if (!kept || kept.sheet === opened || (location.pathname === "/plan" && way && way.type === "navigate")) {
      return false;
    }
    for (const [name, value] of Object.entries(kept)) {
      field(name).value = value;
    }
    byId("kept").hidden = false;
    return true;
  }

  function keepOpen(old, part) {
    const before = old.querySelectorAll("details");
    part.querySelectorAll("details").forEach((now, index) => {
      if (before[index]) {
        now.open = before[index].open;
      }
    });
  }

  function markWrong() {
    const words = new Map();
    for (const item of document.querySelectorAll("#answer .problems [data-place]")) {
      const known = words.get(item.dataset.place);
      const sentence = item.firstChild.textContent.trim();
      words.set(item.dataset.place, known ? known + "; " + sentence : sentence);
    }
    for (const spot of document.querySelectorAll('#load [id^="w."]')) {
      const place = spot.id.slice(2);
      const now = words.get(place) || "";
      if (spot.textContent !== now) {
        spot.textContent = now;
      }
      if (now && spot.closest("details")) {
        spot.closest("details").open = true;
      }
      const field = byId("f." + place);
      if (field) {
        now ? field.setAttribute("aria-invalid", "true") : field.removeAttribute("aria-invalid");
      }
    }
  }

  // What the cook does.

  document.addEventListener("pointerdown", (event) => {
    pressed = Boolean(event.target.closest("button, summary, a"));
  });
  for (const end of ["pointerup", "pointercancel"]) {
    document.addEventListener(end, () => setTimeout(() => (pressed = false)));
  }

  document.addEventListener("input", (event) => {
    const field = event.target;
    if (!field.form || field.form.id !== "load" || field.name === "file" || "quiet" in field.dataset) {
      return;
    }
    if (field.classList.contains("slider")) {
      slid(field);
    } else if ("live" in field.dataset) {
      return; // a whole word or choice counts, not its letters
    } else {
      typed(field);
    }
    ask(true);
  });

  document.addEventListener("change", (event) => {
    const field = event.target;
    if (field.form && field.form.id === "load" && field.name !== "file" && !("quiet" in field.dataset)) {
      ask(false);
    }
  });

  document.addEventListener("submit", (event) => {
    if (event.submitter && ["save", "replace"].includes(event.submitter.value)) {
      forget(); // what is sent comes back in the page, saved or not
    }
  });

  document.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (button && button.id === "drop") {
      forget();
      location.reload();
    }
    if (button && button.form && button.form.id === "load" && button.value !== "save" && !button.formAction.endsWith("/pantry")) {
      event.preventDefault();
      ask(false, button.value);
    }
  });

  showSliders();
  markWrong();
  if (form() && putBack()) {
    ask(false, "show");
  } else if (byId("answer") && byId("answer").dataset.whole === "false") {
    ask(false);
  }
})();
