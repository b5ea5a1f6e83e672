// What is set in a tab and in no file: the page keeps it with the tab, which a crash or a closed window can end. So it is
// written into the folder's database too, and the next tab that opens takes over what no living tab holds.

const KEPT = "icefront "; // what the page keeps of a tab begins so
const TAB = "icefront-tab"; // where a tab keeps its own number
const LOCK = "icefront-tab "; // held by a tab as long as it lives

/** Makes this tab known; gives `{keep}`, which keeps what is set now. */
async function beTab(folder) {
  const files = await folder;
  let tab;
  try {
    tab = await ownNumber();
    await takeOver(files);
  } catch {
    return { async keep() {} }; // without locks or storage of its own, a tab keeps what it has and no more
  }
  let last = "{}";
  return {
    async keep() {
      const entries = keptHere();
      const now = JSON.stringify(entries);
      if (now !== last) {
        last = now;
        await files.keepDraft(tab, entries).catch(() => {});
      }
    },
  };
}

function keptHere() {
  const names = Object.keys(sessionStorage).filter((name) => name.startsWith(KEPT));
  return Object.fromEntries(names.map((name) => [name, sessionStorage.getItem(name)]));
}

/** A number that no other living tab has: a tab that was duplicated begins with that of its twin. */
async function ownNumber() {
  for (;;) {
    const number = sessionStorage.getItem(TAB) ?? crypto.randomUUID();
    if (await hold(LOCK + number)) {
      sessionStorage.setItem(TAB, number);
      return number;
    }
    sessionStorage.removeItem(TAB);
  }
}

/** Takes a lock for as long as the tab lives; gives whether it was free. */
function hold(name) {
  return new Promise((resolve, reject) => {
    navigator.locks
      .request(name, { ifAvailable: true }, (lock) => {
        resolve(Boolean(lock));
        return lock && new Promise(() => {});
      })
      .catch(reject);
  });
}

/** Takes over what tabs set that are gone; what this tab has itself stays. */
async function takeOver(files) {
  const living = (await navigator.locks.query()).held.map((lock) => lock.name);
  for (const { tab, entries } of await files.drafts()) {
    if (living.includes(LOCK + tab)) {
      continue;
    }
    for (const [name, text] of Object.entries(entries)) {
      if (sessionStorage.getItem(name) === null) {
        sessionStorage.setItem(name, text);
      }
    }
    await files.keepDraft(tab, {});
  }
}
