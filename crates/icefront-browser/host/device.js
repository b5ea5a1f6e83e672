// Files between the folder of this browser and the device: opened and saved as the very files that a disk would hold.

const ENDINGS = [".toml", ".csv", ".epw"];
const LARGEST = 16 << 20; // bytes, as a table of weather may have

const html = (text) => text.replace(/[&<>"]/g, (sign) => `&#${sign.charCodeAt(0)};`);

const SHEETS = '<section id="sheets">'; // where the page lists what can be opened

/** A text of the page with the files of this browser above the sheets to open, where it lists them. */
function withFiles(text, files, forgets) {
  return text.replace(SHEETS, () => filesHere(files, forgets) + SHEETS);
}

function filesHere(files, forgets) {
  const where = forgets
    ? "<p class=wrong>This browser keeps nothing for this page: download your files before you close it.</p>"
    : "<p>What you save stays in this browser, on this device; nothing is sent anywhere. Clearing the data of this site deletes it: download what you want to keep.</p>";
  const one = ({ name }) =>
    `<li>${html(name)} <button type=button data-download="${html(name)}" aria-label="Download ${html(name)}">Download</button> ` +
    `<button type=button data-remove="${html(name)}" aria-label="Delete ${html(name)}">Delete</button></li>`;
  return (
    `<section id=device><h2>Files in this browser</h2>${where}` +
    (files.length ? `<ul>${files.map(one).join("")}</ul>` : "") +
    `<div class=field><label for=device-open>Open files of this device</label>` +
    `<input id=device-open type=file multiple accept="${ENDINGS.join(",")}"></div>` +
    `<p id=device-words role=status></p></section>`
  );
}

/** Listens to the buttons of `filesHere`; gives what shows the list anew where it is in sight. */
function listenForFiles(folder) {
  document.addEventListener("click", async (event) => {
    const { download, remove, replace } = event.target.closest("#device button")?.dataset ?? {};
    if (download) {
      await save(await folder, download);
    } else if (remove) {
      askToRemove(event.target, remove);
    } else if (replace !== undefined) {
      await waiting[Number(replace)]?.();
    }
  });
  document.addEventListener("change", async (event) => {
    if (event.target.id === "device-open") {
      await open(await folder, [...event.target.files]);
      event.target.value = "";
    }
  });
  const waiting = []; // what the buttons that ask once more do

  async function save(files, name) {
    const file = (await files.list()).find((one) => one.name === name);
    if (!file) {
      return say(`${name} is no longer here.`);
    }
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([file.bytes]));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  }

  function askToRemove(button, name) {
    say(`Delete ${name} from this browser? There is no undo.`, [
      [`Delete ${name}`, async () => (await write(await folder, [{ name }])) && show(`${name} is deleted.`)],
    ]);
    button.closest("#device").querySelector("#device-words button")?.focus();
  }

  async function open(files, chosen) {
    const wrong = [];
    const fresh = [];
    const there = [];
    const names = new Set((await files.list()).map((file) => file.name));
    for (const file of chosen) {
      const name = file.name.replace(/[^\p{L}\p{N} _\-.(),]/gu, "-");
      if (!ENDINGS.some((ending) => name.endsWith(ending))) {
        wrong.push(`${file.name} was not opened: its name must end with ${ENDINGS.join(", ")}.`);
      } else if (file.size > LARGEST) {
        wrong.push(`${file.name} was not opened: it is larger than 16 MiB.`);
      } else {
        const bytes = new Uint8Array(await file.arrayBuffer());
        (names.has(name) ? there : fresh).push({ name, bytes });
      }
    }
    const opened = await write(files, fresh);
    const words = [...wrong, ...(opened && fresh.length ? [`Opened: ${fresh.map((file) => file.name).join(", ")}.`] : [])];
    if (there.length > 0) {
      const list = there.map((file) => file.name).join(", ");
      words.push(`Already in this browser, and kept as it is: ${list}.`);
      say(words.join(" "), [[`Replace ${list}`, async () => (await write(await folder, there)) && show(`Replaced: ${list}.`)]]);
    } else if (opened && fresh.length) {
      const sheet = fresh.length === 1 && /(?<!\.readings)\.toml$/.test(fresh[0].name) && isSheet(fresh[0].bytes);
      sheet ? (location.hash = "#/sheet/" + encodeURIComponent(fresh[0].name)) : show(words.join(" "));
    } else {
      say(words.join(" "));
    }
  }

  function isSheet(bytes) {
    return /^\s*icefront\s*=/m.test(new TextDecoder().decode(bytes));
  }

  /** Writes files whatever other tabs do meanwhile; gives whether it is done. */
  async function write(files, changed) {
    try {
      for (let tries = 0; changed.length > 0 && tries < MOST_TRIES; tries += 1) {
        const { revision } = await files.changes(0);
        if (await files.commit(changed, revision)) {
          return true;
        }
      }
      return changed.length === 0;
    } catch (error) {
      say(`This browser could not store it (${error.message}).`);
      return false;
    }
  }

  /** Words below the list, with buttons to go on. */
  function say(words, buttons = []) {
    const place = document.getElementById("device-words");
    waiting.length = 0;
    place.replaceChildren(words);
    for (const [label, work] of buttons) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = label;
      button.dataset.replace = String(waiting.push(work) - 1);
      place.append(" ", button);
    }
  }

  /** The list anew, with words below it; the rest of the page stays. */
  async function show(words = "") {
    const files = await folder;
    const section = new DOMParser().parseFromString(filesHere(await files.list(), files.forgets), "text/html").body;
    const old = document.getElementById("device");
    if (old) {
      old.replaceWith(...section.childNodes);
      say(words);
    }
  }

  return () => show();
}
