// What was set and not saved outlives a reload, and a page that cannot be reached. This tab keeps it.

const ASIDE = ["file", "version", "opened", "view", "open", "anchor", "before", "theirs"]; // not of the sheet

let place = location.pathname; // the page that is shown
let opened = ""; // the sheet as it was opened
let putting; // what was kept and is put back: the fields still show another sheet

const kept = () => "icefront " + place;

/** The sheet and what is set over it, by name; fields of questions aside. */
function setNow() {
  const quiet = [...form().elements].filter((one) => "quiet" in one.dataset && one.name !== "file");
  const aside = new Set(["anchor", "before", "theirs", ...quiet.map((one) => one.name)]);
  return [...new FormData(form())].filter(([name]) => !aside.has(name));
}

/** Whether a field of the sheet differs from what it showed. */
function differs(one) {
  if (!one.name || ASIDE.includes(one.name) || "quiet" in one.dataset || ["hidden", "submit"].includes(one.type)) {
    return false;
  }
  if (one.tagName === "SELECT") {
    return ![...one.options].some((option) => option.selected && option.defaultSelected);
  }
  return one.type === "checkbox" ? one.checked !== one.defaultChecked : one.value !== one.defaultValue;
}

const changed = () => byId("sheet").value !== opened || [...form().elements].some(differs);

/** What is shown is what the fields hold: from here on, changes count. */
function settle() {
  for (const one of form().elements) {
    if (one !== document.activeElement && "defaultValue" in one && one.type !== "hidden") {
      one.defaultValue = one.value;
    }
  }
}

function keep() {
  if (putting || !form()) {
    return; // the fields do not show it yet
  }
  if (changed()) {
    store((tab) => tab.setItem(kept(), JSON.stringify(setNow())));
  } else {
    forget();
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
  // what was sent by a button shows what it sent, unless it is loaded anew
  const [way] = performance.getEntriesByType("navigation");
  if (!text || (location.pathname === "/plan" && way && way.type === "navigate")) {
    return false;
  }
  putting = JSON.parse(text);
  for (const [name, value] of putting.filter(([name]) => ["version", "opened", "file"].includes(name))) {
    form().querySelector(`[name="${name}"]`).value = value;
  }
  byId("kept").hidden = false;
  return true;
}
