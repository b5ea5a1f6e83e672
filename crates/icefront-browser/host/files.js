// The folder of the page in this browser: sheets, dryers, readings, history and pantry as the bytes they would be on a disk.
//
// Each change is one transaction and has the next revision. Whoever changes something states the revision it was made
// from; where another tab was quicker, nothing is written, and the change is made anew from what is there now.

const FOLDER = "icefront";
const FILES = "files";
const DRAFTS = "drafts";
const REVISION = "revision";

/** The promise of a request. */
function done(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** The promise that a transaction is on the disk. */
function kept(transaction) {
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(transaction.error ?? new Error("it was broken off"));
  });
}

async function openFolder() {
  const request = indexedDB.open(FOLDER, 1);
  request.onupgradeneeded = () => {
    const files = request.result.createObjectStore(FILES, { keyPath: "name" });
    files.createIndex(REVISION, REVISION);
    request.result.createObjectStore(DRAFTS, { keyPath: "tab" });
  };
  const database = await done(request);
  // a newer version of the page in another tab may need another layout
  database.onversionchange = () => database.close();

  // a change of files is on the disk when it is done; what is only set may take a moment longer
  const begin = (store, mode) =>
    database.transaction(store, mode, { durability: store === FILES ? "strict" : "relaxed" });

  /** The last revision. */
  async function revision(files) {
    const last = await done(files.index(REVISION).openCursor(null, "prev"));
    return last ? last.value.revision : 0;
  }

  return {
    /** What changed after a revision: `{revision, files}`; a file without bytes is gone. */
    async changes(after) {
      const files = begin(FILES, "readonly").objectStore(FILES);
      const changed = await done(files.index(REVISION).getAll(IDBKeyRange.lowerBound(after, true)));
      return { revision: Math.max(after, ...changed.map((file) => file.revision)), files: changed };
    },

    /** Writes files that were made from a revision; gives the new one, or nothing where another tab was quicker. */
    async commit(changed, from) {
      const transaction = begin(FILES, "readwrite");
      const files = transaction.objectStore(FILES);
      const whole = kept(transaction);
      const now = await revision(files);
      if (now !== from) {
        await whole;
        return undefined;
      }
      for (const { name, bytes } of changed) {
        files.put({ name, bytes, revision: now + 1 });
      }
      await whole;
      return now + 1;
    },

    /** Files that are there. */
    async list() {
      const all = await done(begin(FILES, "readonly").objectStore(FILES).getAll());
      return all.filter(({ bytes }) => bytes);
    },

    /** Keeps what is set in a tab and in no file. */
    async keepDraft(tab, entries) {
      const transaction = begin(DRAFTS, "readwrite");
      const drafts = transaction.objectStore(DRAFTS);
      Object.keys(entries).length > 0 ? drafts.put({ tab, entries }) : drafts.delete(tab);
      await kept(transaction);
    },

    /** All that tabs keep. */
    async drafts() {
      return done(begin(DRAFTS, "readonly").objectStore(DRAFTS).getAll());
    },
  };
}

/** The same where the browser keeps nothing: until the tab is closed. */
function folderUntilClosed() {
  const files = new Map();
  let revision = 0;
  return {
    forgets: true,
    async changes(after) {
      return { revision, files: [...files.values()].filter((file) => file.revision > after) };
    },
    async commit(changed, from) {
      if (revision !== from) {
        return undefined;
      }
      revision += 1;
      changed.forEach(({ name, bytes }) => files.set(name, { name, bytes, revision }));
      return revision;
    },
    async list() {
      return [...files.values()].filter(({ bytes }) => bytes);
    },
    async keepDraft() {},
    async drafts() {
      return [];
    },
  };
}
