// The host of the page in a browser without a server: paths and forms go to a worker with the module, files into the folder
// of this browser.

const FIRST_MS = 45; // time for what is opened
const DRAG_MS = 110; // time for an answer while something is dragged
const FEW = [24, 12, 4, 0]; // samples then: as many as fit
const ALL = 256;
const BESIDE = 2; // runs beside those of the samples
const MOST_TRIES = 8; // of a change, where other tabs change the folder too

/** Makes the host of a folder; `changed` hears of changes of its files; the others as for the pool. */
function makeHost(folder, changed, openWorker, module, bytes) {
  const withWorker = makePool(openWorker, module, bytes);
  const tab = beTab(folder);
  let runMs = 9; // one run of the model, measured as it goes

  /** As many samples as fit into a time. */
  function few(ms) {
    return FEW.find((samples) => runMs * (samples + BESIDE) <= ms) ?? 0;
  }

  /** As the page asks its host: a path, and a form as text where one is sent; `{status, text}`. */
  async function ask(path, body, signal) {
    const form = body === undefined ? null : [...new URLSearchParams(body)];
    const files = await folder;
    await (await tab).keep();
    for (let tries = 0; tries < MOST_TRIES; tries += 1) {
      let reply;
      try {
        reply = await withWorker(signal, (call, one) => once(files, call, one, { path, form }));
      } catch (error) {
        if (error.name === "AbortError") {
          throw error;
        }
        return { status: 500, text: `The computation broke off (${error.message}).` };
      }
      if (reply) {
        if (reply.files.length > 0) {
          setTimeout(changed); // once the page shows the answer
        }
        return { status: reply.status, text: withFiles(reply.text, await files.list(), files.forgets) };
      }
    }
    return { status: 503, text: "Other tabs keep changing the files; try again in a moment." };
  }

  /** Asks once; gives nothing where another tab changed the folder meanwhile. */
  async function once(files, call, one, asked) {
    const { revision, files: fresh } = await files.changes(one.seen);
    const samples = few(asked.form ? DRAG_MS : FIRST_MS);
    const { answer, ms } = await call({ ...asked, today: today(), few: samples }, fresh);
    one.seen = revision;
    if (asked.form && answer.status === 200) {
      runMs = ms / (BESIDE + (answer.whole ? ALL : samples));
    }
    if (answer.files.length > 0) {
      // until it is on the disk, the worker has files that nobody else has
      one.seen = undefined;
      try {
        one.seen = await files.commit(answer.files, revision);
      } catch (error) {
        return { status: 507, text: `this browser could not store it (${error.message}).`, files: [] };
      }
      // asks the browser not to clear it when space is short
      navigator.storage?.persist?.();
    }
    return one.seen === undefined ? undefined : answer;
  }

  return ask;
}

/** The day here, as 2026-11-25. */
function today() {
  const now = new Date();
  const two = (number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
