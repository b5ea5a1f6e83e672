// Saving. What is set is forgotten once it is stored, not before.

async function save(act) {
  keep();
  const sent = byId("sheet").value + JSON.stringify(putting || setNow());
  say("Saving.");
  clearTimeout(rest);
  try {
    const { status, text } = await ask("/live", bodyOf({ dragging: false, act }));
    const parts = new DOMParser().parseFromString(text, "text/html");
    const notice = parts.querySelector("#saving-here .notice");
    if (status === 200) {
      stored(text, parts, byId("sheet").value + JSON.stringify(putting || setNow()) === sent);
    } else if (notice) {
      notSaved(notice.childNodes);
    } else {
      notSaved(["It was not stored: " + text, " What you set is kept here; try again."]);
    }
  } catch {
    notSaved(["Not connected; is icefront still running? What you set is kept here. Save again once it runs."]);
  }
}

/** It is in the file; where more was set meanwhile, that stays as it is. */
function stored(text, parts, isAll) {
  forget();
  putting = undefined;
  byId("saving-here").replaceChildren();
  byId("kept").hidden = true;
  const names = ["version", "opened", "file-name"];
  opened = parts.querySelector("#sheet").value;
  if (isAll) {
    put(text, { dragging: false, act: "save" });
  } else {
    names.forEach((name) => (byId(name).value = parts.querySelector("#" + name).value));
    renamed(byId("file-name").value);
  }
  request(false);
  say("Saved.");
}

/** The sheet has another name: the page goes by it. */
function renamed(name) {
  const path = "/sheet/" + encodeURIComponent(name);
  if (!name || decodeURIComponent(place) === decodeURIComponent(path) || !byId("opened").value) {
    return;
  }
  forget();
  place = path;
  history.replaceState(null, "", globalThis.icefrontHost ? "#" + path : path);
  document.title = name + " - icefront";
  document.querySelector("header h1").textContent = name.replace(/\.toml$/, "");
  if (byId("f.file")) {
    byId("f.file").value = name;
  }
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
