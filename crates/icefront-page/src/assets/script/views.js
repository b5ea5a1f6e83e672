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

/** A chart that was opened is drawn. */
async function draw(chart) {
  if (chart.querySelector("figure")) {
    return;
  }
  try {
    const { status, text } = await ask("/live", bodyOf({ dragging: false, act: "chart." + chart.dataset.chart }));
    const part = new DOMParser().parseFromString(text, "text/html").body.firstElementChild;
    if (status === 200 && byId(part.id)) {
      byId(part.id).replaceWith(part);
    }
  } catch {
    chart.open = false;
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
  }
}

const clock = (time) => time.toTimeString().slice(0, 5);

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
  if (Number.isFinite(middle) && Number.isFinite(high)) {
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
