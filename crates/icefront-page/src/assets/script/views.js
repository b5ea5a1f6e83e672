// The views, the charts, the run's clock, and the pages of a host.

const MINUTE_MS = 60000;

/** Shows a view that is filled. */
function show(name) {
  for (const view of document.querySelectorAll("main > .view")) {
    view.hidden = view.id !== "v-" + name;
  }
  for (const tab of document.querySelectorAll("nav button")) {
    tab.value === "view." + name ? tab.setAttribute("aria-current", "page") : tab.removeAttribute("aria-current");
  }
  byId("view").value = name;
  fitStart();
  fitReading();
  countDown();
  scrollTo(0, 0);
  const title = byId("h-" + name);
  title && title.focus({ preventScroll: true });
}

function view(name) {
  // trays and packs may be others now: the run and the pantry are looked at anew
  const stale = "empty" in byId("v-" + name).dataset;
  stale ? request(false, "view." + name) : show(name);
}

/** A part that was opened is filled. */
async function unfold(part) {
  if (part.querySelector(".unfolded")) {
    return;
  }
  try {
    const { status, text } = await ask("/live", bodyOf({ dragging: false, act: "unfold." + part.dataset.fold }));
    const filled = new DOMParser().parseFromString(text, "text/html").body.firstElementChild;
    if (status === 200 && filled && byId(filled.id)) {
      byId(filled.id).replaceWith(filled);
    }
  } catch {
    part.open = false;
  }
}

/** What the lines of a plot say at a share of their time, from 0 to 1. */
function readOff(plot, share) {
  const { hours, low, high, unit, start, stages } = plot.dataset;
  const x = 1000 * Math.min(1, Math.max(0, share));
  const cursor = plot.querySelector(".cursor");
  cursor.setAttribute("x1", x);
  cursor.setAttribute("x2", x);
  plot.classList.add("read");
  plot.dataset.at = share;
  const value = (line) => {
    const points = line.getAttribute("points").split(" ").map((point) => point.split(",").map(Number));
    const after = points.findIndex((point) => point[0] >= x);
    if (after < 0 || points[0][0] > x) {
      return null;
    }
    const [b, a] = [points[after], points[Math.max(0, after - 1)]];
    const y = b[0] > a[0] ? a[1] + ((b[1] - a[1]) * (x - a[0])) / (b[0] - a[0]) : b[1];
    return Number(high) - (y / 400) * (high - low);
  };
  const number = (v) => (Math.abs(v) < 10 ? v.toFixed(1) : v.toFixed(0)).replace("-", "\u2212");
  const said = [...plot.querySelectorAll("polyline")]
    .map((line) => [line.dataset.name, value(line)])
    .filter(([, v]) => v !== null)
    .map(([name, v]) => `${name}: ${number(v)} ${unit}`);
  const hour = (x / 1000) * hours;
  const stage = stages.split(";").find((one) => parseFloat(one) >= hour);
  const [h, m] = start.split(":").map(Number);
  const minutes = (Math.round(hour * 60) + h * 60 + m) % 1440;
  const at = String(Math.floor(minutes / 60)).padStart(2, "0") + ":" + String(minutes % 60).padStart(2, "0");
  plot.querySelector(".readout").textContent =
    `${at}, after ${hour.toFixed(1)} h${stage ? ", " + stage.replace(/^\S+ /, "") : ""}. ${said.join("; ")}`;
}

/** A finger or the mouse on a plot. */
function pointAt(event) {
  const drawing = event.target.closest?.(".plot svg");
  if (drawing) {
    const box = drawing.getBoundingClientRect();
    readOff(drawing.closest(".plot"), (event.clientX - box.left) / box.width);
  }
}

function arrow(event) {
  const by = { ArrowLeft: -0.02, ArrowRight: 0.02, Home: -1, End: 1 }[event.key];
  if (by && event.target.classList.contains("plot")) {
    event.preventDefault();
    readOff(event.target, Math.min(1, Math.max(0, Number(event.target.dataset.at || 0) + by)));
  }
}

/** The fields of a reading fit its kind, and its time is filled in. */
function fitReading() {
  const kind = byId("reading.kind");
  if (!kind) {
    return;
  }
  const { unit, tray, number } = kind.selectedOptions[0].dataset;
  byId("of-tray").hidden = tray === undefined;
  byId("of-number").hidden = number === undefined;
  byId("reading-unit").textContent = unit;
  if (!byId("reading.time").value) {
    byId("reading.time").value = clock(new Date());
    if (byId("reading.day")) {
      byId("reading.day").value = today();
    }
  }
}

const clock = (time) => time.toTimeString().slice(0, 5);

/** The day by this clock, or so many before. */
const today = (before = 0) =>
  new Date(Date.now() - (new Date().getTimezoneOffset() + before * 24 * 60) * MINUTE_MS).toISOString().slice(0, 10);

/** A run that has begun at a time still to come today began yesterday. */
function fitStart() {
  if (byId("run.day")) {
    byId("run.day").value = today(byId("run.start").value > clock(new Date()) ? 1 : 0);
  }
}

/** How long it takes yet, by this clock. */
function countDown() {
  const [left, bar] = [byId("left"), byId("bar")];
  if (!left || !bar.dataset.typical) {
    return;
  }
  const [hour, minute] = bar.dataset.start.split(":").map(Number);
  const now = new Date();
  const day = byId("to-go").dataset.day;
  const begun = day ? new Date(day + "T" + bar.dataset.start) : new Date(now).setHours(hour, minute, 0, 0);
  let gone = (now - begun) / 1000;
  gone = day || gone >= 0 ? gone : gone + 86400;
  const hours = (seconds) => Math.max(0, Math.round((Number(seconds) - gone) / 3600));
  const [low, middle, high] = [bar.dataset.low, bar.dataset.typical, bar.dataset.high].map(hours);
  if (day && gone < 0) {
    left.textContent = `It starts in about ${Math.ceil(-gone / 3600)} h.`;
  } else if (Number.isFinite(middle) && Number.isFinite(high)) {
    left.textContent = high === 0 ? "Check it now." : `About ${middle} h to go, ${low} to ${high}.`;
  }
}

setInterval(countDown, MINUTE_MS / 2);

// A server shows the pages of its links by itself; where there is none, they are put here.

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

function withoutServer() {
  // a hash is a page where it begins with a slash; else it is a place on this one
  const here = () => (/^#\//.test(location.hash) ? location.hash.slice(1) : location.hash ? place : "/");
  place = /^#\//.test(location.hash) ? here() : "/";
  addEventListener("popstate", () => here() !== place && go(here()));
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href^='/']");
    if (link) {
      event.preventDefault();
      go(link.getAttribute("href"));
    }
  });
  document.addEventListener("submit", (event) => {
    event.preventDefault();
    const sent = new URLSearchParams(new FormData(event.target));
    if (event.submitter?.name) {
      sent.set(event.submitter.name, event.submitter.value);
    }
    go(event.target.getAttribute("action"), sent.toString());
  });
}
