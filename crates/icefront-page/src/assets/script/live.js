// Asking while something is set, and putting the parts of an answer in their places.

const REST_MS = 300; // nothing moved for so long: ask for the whole answer
const BUSY_MS = 1000; // after being turned away
const MOST_TRIES = 5;
const RETRY_MS = 2000; // after the page was not reached; each time twice as long
const LONGEST_RETRY_MS = 16000;
const NOTED = ["read", "unread"]; // done at once, even where the whole answer follows later
const ONCE = /^(read|unread|begin|log|learn|put|untake|save|replace|take\..*)$/; // what must not be done twice
const SET = /^(add|copy|remove|up|down|show|open|close|set|view|begin|put|take|untake)\b/; // done with any answer

const BESIDE = /^(view\..*|put|untake|take\..*)$/; // leaves the answer as it is

const byId = (id) => document.getElementById(id);
const form = () => byId("load");

let rest; // waits for things to rest
let running; // the request under way: {dragging, stop}
let next; // the newest that waits for it to end; older ones are dropped
let tries = 0;
let misses = 0; // how often the page was not reached, one after the other
let missed; // what is sent once it is reached again
let pressed = false; // a button is held down: nothing may move away from under it
let stale = false; // what is set has no answer yet: a view was shown meanwhile
let settled = ""; // the sheet of the last whole answer
let past = []; // sheets before it

function request(dragging, act) {
  clearTimeout(rest);
  if (dragging) {
    rest = setTimeout(() => request(false), REST_MS);
  }
  next = { dragging, act: act || (next && next.act) };
  stale = stale || !BESIDE.test(act);
  keep();
  if (running && !running.dragging && !running.once) {
    running.stop.abort();
  } else if (!running) {
    send();
  }
}

/** What is sent: the form, and which charts are open. */
function bodyOf(sent) {
  const body = new URLSearchParams(putting || new FormData(form()));
  body.set("pace", sent.dragging ? "drag" : "rest");
  const unfolded = [...document.querySelectorAll("details.fold[open]")].map((part) => part.dataset.fold);
  if (unfolded.length && !sent.dragging) {
    body.set("unfolded", unfolded.join());
  }
  if (sent.act === "undo") {
    // the sheet before; the fields show the one after it
    const names = [...body.keys()].filter((name) => !["file", "version", "opened", "view", "start"].includes(name));
    names.forEach((name) => body.delete(name));
    body.set("sheet", past[past.length - 1]);
    body.set("do", "show");
  } else if (sent.act) {
    body.set("do", sent.act);
  }
  return body.toString();
}

async function send() {
  const sent = putting ? { dragging: false, act: "show" } : next;
  let answered = false;
  next = undefined;
  running = { dragging: sent.dragging, once: ONCE.test(sent.act), stop: new AbortController() };
  byId("bar").setAttribute("aria-busy", "true");
  try {
    const { status, text } = await ask("/live", bodyOf(sent), running.stop.signal);
    if (status === 200 || (status === 409 && ONCE.test(sent.act))) {
      answered = true;
      putting = undefined;
      misses = 0;
      missed = undefined;
      byId("lost").hidden = true;
      for (let waits = 0; pressed && waits < 50; waits += 1) {
        await new Promise((done) => setTimeout(done, 20));
      }
      put(text, sent);
    } else if (status === 503) {
      again("Many ask at once; it asks again.", sent.act);
    } else {
      notCurrent("Not answered, showing the last answer: " + text, "Not answered. ");
    }
  } catch (error) {
    if (error.name !== "AbortError") {
      unreached(sent.act);
    } else if (sent.act && next && !next.act) {
      next.act = sent.act; // a button is not dropped
    }
  }
  running = undefined;
  byId("bar").removeAttribute("aria-busy");
  if (next) {
    send();
  } else if (!answered) {
    return;
  } else if (!sent.dragging && byId("bar").dataset.whole === "false") {
    const follows = SET.test(sent.act) ? undefined : sent.act; // what is done is not done again
    again("The whole answer follows.", NOTED.includes(sent.act) ? "update" : follows);
  } else if (!sent.dragging && stale) {
    request(false);
  } else if (!sent.dragging) {
    tries = 0;
    say(byId("bar").innerText.replace(/\n+/g, ". "));
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
    notCurrent("Many ask at once; this is not the whole answer to what is set now.", "Not the whole answer. ");
  }
}

// Where there is no answer to what is set, the old one stays in sight and says so.

function unreached(act) {
  misses += 1;
  // what must not be done twice is not sent again by itself
  missed = ONCE.test(act) ? undefined : act;
  const done = ONCE.test(act) ? " Look whether the last button did its work before you press it again." : "";
  notCurrent(
    "Not connected, showing the last answer. What you set is kept here, and it tries again by itself." + done,
    "Not connected. ",
  );
  clearTimeout(rest);
  rest = setTimeout(() => request(false, missed), Math.min(RETRY_MS * 2 ** (misses - 1), LONGEST_RETRY_MS));
}

function notCurrent(words, mark) {
  byId("lost-words").textContent = words;
  byId("lost").hidden = false;
  byId("bar").dataset.old = "true";
  const before = byId("bar-old") || document.createElement("strong");
  before.id = "bar-old";
  before.textContent = mark;
  byId("bar").querySelector(".when").prepend(before);
  say(words);
  keep();
}

function say(words) {
  byId("status").textContent = words;
}

function put(text, sent) {
  const parts = new DOMParser().parseFromString(text, "text/html").body;
  const focused = document.activeElement && document.activeElement.id;
  stale = stale && !(parts.querySelector("#bar") && !next);
  const entered = sent.act === "read" && parts.querySelector("#readings");
  for (const part of [...parts.children]) {
    const old = byId(part.id);
    if (!old) {
      continue;
    }
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
  if (!sent.dragging && !next) {
    remember(sent.act);
    settle();
    markWrong();
  }
  renamed(byId("file-name").value);
  if (entered) {
    byId("reading.value").value = ""; // it stands among the others now
  }
  ready();
  keep();
  goTo(focused, sent);
}

/** Another sheet rests: the one before can be brought back. */
function remember(act) {
  const now = byId("sheet").value;
  if (act === "undo") {
    past.pop();
  } else if (settled && now !== settled) {
    past.push(settled);
  }
  settled = now;
}

/** Where the eye and the keyboard go after an answer. */
function goTo(focused, sent) {
  const act = sent.act || "";
  const wanted = byId("open").dataset.focus;
  const at = document.activeElement;
  const free = !at || at === document.body || at.tagName === "BUTTON"; // nobody writes anything
  const answer = byId("r." + act) || byId({ read: "r.update", unread: "readings", log: "r.log" }[act]);
  const shown = [answer, act.startsWith("take") || act === "put" || act === "untake" ? byId("pantry") : null]
    .map((one) => one && one.querySelector("[tabindex='-1']"))
    .find((one) => one);
  if (act.startsWith("view.") || act === "begin") {
    show(act === "begin" ? "run" : act.slice(5));
  } else if (wanted && byId(wanted)) {
    byId(wanted).focus({ preventScroll: true });
    byId(wanted).scrollIntoView({ block: "nearest" });
    delete byId("open").dataset.focus;
  } else if (free && shown) {
    shown.focus({ preventScroll: true });
    shown.scrollIntoView({ block: "start" });
  } else if (focused && byId(focused) && document.activeElement.id !== focused) {
    byId(focused).focus({ preventScroll: true });
  }
}

function keepOpen(old, part) {
  const before = old.querySelectorAll("details:not(.fold)");
  const now = part.querySelectorAll("details:not(.fold)");
  if (before.length === now.length) {
    now.forEach((one, index) => (one.open = before[index].open || one.open));
  }
}

function markWrong() {
  const words = new Map();
  for (const item of document.querySelectorAll("#answer .problems [data-place]")) {
    const known = words.get(item.dataset.place);
    const sentence = item.firstChild.textContent.trim();
    words.set(item.dataset.place, known ? known + "; " + sentence : sentence);
  }
  for (const spot of document.querySelectorAll('#load [id^="w."]')) {
    const where = spot.id.slice(2);
    const now = words.get(where) || "";
    if (spot.textContent !== now) {
      spot.textContent = now;
    }
    if (now && spot.closest("details")) {
      spot.closest("details").open = true;
    }
    const field = byId("f." + where);
    if (field) {
      now ? field.setAttribute("aria-invalid", "true") : field.removeAttribute("aria-invalid");
    }
  }
}
