// Makes the form answer while something is set. Without this script the form works by its buttons.

const REST_MS = 350; // nothing moved for so long: ask for the whole answer
const BUSY_MS = 1000; // after being turned away
const MOST_TRIES = 5;
const RETRY_MS = 2000; // after the page was not reached; each time twice as long
const LONGEST_RETRY_MS = 16000;
const NOTED = ["read", "unread"]; // done at once, even where the whole answer follows later
const ONCE = [...NOTED, "log", "learn"]; // what must not be done twice
const SET = /^(add|remove|up|down|show)\b/; // changes the form, with any answer
let place = location.pathname; // the page that is shown
const kept = () => "icefront " + place; // where this tab keeps what was set there and not saved

const form = () => document.getElementById("load");
const byId = (id) => document.getElementById(id);

let rest; // waits for things to rest
let running; // the request under way: {dragging, stop}
let next; // the newest that waits for it to end; older ones are dropped
let tries = 0;
let misses = 0; // how often the page was not reached, one after the other
let missed; // what is sent once it is reached again
let putting; // what was kept and is put back: the fields still show another sheet
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

function request(dragging, act) {
  clearTimeout(rest);
  if (dragging) {
    rest = setTimeout(() => request(false), REST_MS);
  }
  next = { dragging, act: act || (next && next.act) };
  keep();
  if (running && !running.dragging && !running.once) {
    running.stop.abort();
  } else if (!running) {
    send();
  }
}

async function send() {
  const sent = putting ? { dragging: false, act: "show" } : next;
  let answered = false;
  next = undefined;
  running = { dragging: sent.dragging, once: ONCE.includes(sent.act), stop: new AbortController() };
  const body = new URLSearchParams(putting || new FormData(form()));
  body.set("pace", sent.dragging ? "drag" : "rest");
  if (sent.act) {
    body.set("do", sent.act);
  }
  byId("answer").setAttribute("aria-busy", "true");
  try {
    const response = await ask("/live", body.toString(), running.stop.signal);
    if (response.status === 200) {
      const parts = response.text;
      answered = true;
      putting = undefined;
      misses = 0;
      missed = undefined;
      byId("lost").hidden = true;
      for (let waits = 0; pressed && waits < 50; waits += 1) {
        await new Promise((done) => setTimeout(done, 20));
      }
      put(parts, sent);
    } else if (response.status === 503) {
      again("Many ask at once; it asks again.", sent.act);
    } else {
      notCurrent("Not answered, showing the last answer: " + response.text, "Not answered, last answer: ");
    }
  } catch (error) {
    if (error.name !== "AbortError") {
      unreached(sent.act);
    } else if (sent.act && !next.act) {
      next.act = sent.act; // a button is not dropped
    }
  }
  running = undefined;
  const answer = byId("answer");
  answer.removeAttribute("aria-busy");
  if (next) {
    send();
  } else if (!answered) {
    return;
  } else if (!sent.dragging && answer.dataset.whole === "false") {
    const follows = SET.test(sent.act) ? undefined : sent.act; // what is done is not done again
    again("The whole answer follows.", NOTED.includes(sent.act) ? "update" : follows);
  } else if (!sent.dragging) {
    tries = 0;
    say(byId("now").textContent);
  }
}

function again(words, act) {
  if (tries < MOST_TRIES) {
    tries += 1;
    say(words);
    rest = setTimeout(() => request(false, act), BUSY_MS * tries);
  } else {
    tries = 0;
    missed = act;
    notCurrent("Many ask at once; this is not the whole answer to what is set now.", "Not the whole answer: ");
  }
}

// Where there is no answer to what is set, the old one stays in sight and says so.

function unreached(act) {
  misses += 1;
  // what must not be done twice is not sent again by itself
  missed = ONCE.includes(act) ? undefined : act;
  const done = ONCE.includes(act) ? " Look whether the last button did its work before you press it again." : "";
  notCurrent(
    "Not connected, showing the last answer. Is icefront still running? What you set is kept here, and it tries again by itself." + done,
    "Not connected, last answer: ",
  );
  clearTimeout(rest);
  rest = setTimeout(() => request(false, missed), Math.min(RETRY_MS * 2 ** (misses - 1), LONGEST_RETRY_MS));
}

function notCurrent(words, mark) {
  byId("lost-words").textContent = words;
  byId("lost").hidden = false;
  byId("answer").dataset.old = "true";
  const before = byId("now-old") || document.createElement("strong");
  before.id = "now-old";
  before.textContent = mark;
  byId("now").prepend(before);
  say(words);
  keep();
}

function say(words) {
  byId("status").textContent = words;
}

// Putting the parts of an answer in their places.

function put(text, sent) {
  const parts = new DOMParser().parseFromString(text, "text/html").body;
  const focused = document.activeElement && document.activeElement.id;
  for (const part of [...parts.children]) {
    if (part.id === "now-words") {
      byId("now").replaceChildren(...part.childNodes);
      continue;
    }
    const old = byId(part.id);
    if (part.id === "load" && next) {
      next.act = next.act || sent.act; // the form was changed meanwhile: once more, from what it is now
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
  if (free && byId("report") && sent.act && !/^(answer|show|add|up|down|remove)/.test(sent.act)) {
    byId("report").focus();
    return;
  }
  if (focused && byId(focused) && document.activeElement.id !== focused) {
    byId(focused).focus({ preventScroll: true });
  }
}

// What was set and not saved outlives a reload, and a page that cannot be reached.

const field = (name) => form().querySelector(`[name="${name}"]`);
let opened = ""; // what was in the file

/** The sheet and what is set over it, by name; fields of questions aside. */
function setNow() {
  const aside = [...form().elements].filter((one) => "quiet" in one.dataset || one.name === "theirs");
  const names = new Set(aside.map((one) => one.name));
  return [...new FormData(form())].filter(([name]) => !names.has(name));
}

/** What of it would be in the file. */
function essence(pairs) {
  return JSON.stringify(pairs.filter(([name]) => !["file", "version", "opened"].includes(name)));
}

function keep() {
  if (putting) {
    return; // the fields do not show it yet
  }
  const now = setNow();
  if (essence(now) === opened) {
    forget();
  } else {
    store((tab) => tab.setItem(kept(), JSON.stringify(now)));
  }
}

function forget() {
  store((tab) => tab.removeItem(kept()));
}

function store(work) {
  try {
    return work(sessionStorage);
  } catch {
    return null; // a browser that keeps nothing
  }
}

/** Finds what was kept, to be put back; gives whether there was anything. */
function putBack() {
  const text = store((tab) => tab.getItem(kept()));
  const kept = text && JSON.parse(text);
  // what was sent by a button shows what it sent, unless it is loaded anew
  const [way] = performance.getEntriesByType("navigation");
  if (!kept || essence(kept) === opened || (location.pathname === "/plan" && way && way.type === "navigate")) {
    return false;
  }
  putting = kept;
  for (const [name, value] of kept.filter(([name]) => ["file", "version", "opened"].includes(name))) {
    field(name).value = value;
  }
  byId("kept").hidden = false;
  return true;
}

// Saving. What is set is forgotten once it is stored, not before.

async function save(act) {
  keep();
  const sent = putting || setNow();
  const body = new URLSearchParams(putting || new FormData(form()));
  body.set("do", act);
  say("Saving.");
  try {
    const { status, text } = await ask("/live", body.toString());
    const parts = new DOMParser().parseFromString(text, "text/html");
    const notice = parts.querySelector("#saving-here .notice");
    if (status === 200) {
      stored(parts, essence(putting || setNow()) === essence(sent));
    } else if (notice) {
      notSaved(notice.childNodes);
    } else {
      notSaved(["It was not stored: " + text, " What you set is kept here; try again."]);
    }
  } catch {
    notSaved(["Not connected; is icefront still running? What you set is kept here. Save again once it runs."]);
  }
}

/** It is in the file: goes there, or stays where more was set meanwhile. */
function stored(parts, isAll) {
  const name = parts.querySelector('#load [name="file"]').value;
  if (isAll) {
    forget();
    go("/sheet/" + encodeURIComponent(name));
    return;
  }
  for (const one of ["file", "version", "opened"]) {
    field(one).value = parts.querySelector(`#load [name="${one}"]`).value;
  }
  byId("saving-here").replaceChildren();
  request(false);
}

function notSaved(words) {
  const notice = document.createElement("section");
  notice.className = "notice";
  notice.setAttribute("role", "alert");
  notice.tabIndex = -1;
  if (typeof words[0] === "string") {
    const [title, reason] = [document.createElement("h2"), document.createElement("p")];
    title.textContent = "Not saved";
    reason.textContent = words.join("");
    notice.append(title, reason);
  } else {
    notice.append(...words);
  }
  byId("saving-here").replaceChildren(notice);
  notice.focus();
  notice.scrollIntoView({ block: "center" });
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
  request(true);
});

document.addEventListener("change", (event) => {
  const field = event.target;
  if (field.form && field.form.id === "load" && field.name !== "file" && !("quiet" in field.dataset)) {
    request(false);
  }
});

document.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (!button) {
    return;
  }
  if (button.id === "drop") {
    putting = undefined;
    forget();
    go(place);
  } else if (button.id === "again") {
    request(false, missed);
  } else if (button.form && button.form.id === "load" && !button.formAction.endsWith("/pantry")) {
    event.preventDefault();
    ["save", "replace"].includes(button.value) ? save(button.value) : request(false, button.value);
  } else if (button.form && button.form.contains(byId("by-hand"))) {
    event.preventDefault();
    putting = [...new FormData(button.form)];
    request(false, "show");
  }
});

// Pages of this host. A server shows them by itself; where there is none, they are put here.

async function go(path, body) {
  if (!globalThis.icefrontHost) {
    location.assign(path);
    return;
  }
  const page = new DOMParser().parseFromString((await ask(path, body)).text, "text/html");
  if (!body && path !== place) {
    history.pushState(null, "", "#" + path);
  }
  place = path;
  document.title = page.title;
  document.body.replaceWith(page.body);
  scrollTo(0, 0);
  start();
}

if (globalThis.icefrontHost) {
  place = location.hash.slice(1) || "/";
  addEventListener("popstate", () => go(location.hash.slice(1) || "/"));
  document.addEventListener("click", (event) => {
    const path = event.target.closest("a[href^='/']")?.getAttribute("href");
    if (path) {
      event.preventDefault();
      go(path);
    }
  });
  document.addEventListener("submit", (event) => {
    event.preventDefault();
    const [button, sent] = [event.submitter, new URLSearchParams(new FormData(event.target))];
    if (button?.name) {
      sent.set(button.name, button.value);
    }
    go((button && button.getAttribute("formaction")) || event.target.getAttribute("action"), sent.toString());
  });
}

function start() {
  opened = form() ? essence(setNow()) : "";
  showSliders();
  markWrong();
  if (form() && putBack()) {
    request(false, "show");
  } else if (byId("answer") && byId("answer").dataset.whole === "false") {
    request(false);
  }
}

// a host without a server begins with an empty page
globalThis.icefrontHost && !document.querySelector("main") ? go(place) : start();
