// What the cook does, and how the page begins. Without these scripts the form works by its buttons.

document.addEventListener("pointerdown", (event) => {
  pressed = Boolean(event.target.closest("button, summary, a"));
});
for (const end of ["pointerup", "pointercancel"]) {
  document.addEventListener(end, () => setTimeout(() => (pressed = false)));
}

document.addEventListener("pointermove", pointAt);
document.addEventListener("pointerdown", pointAt);
document.addEventListener("keydown", arrow);

const ofSheet = (field) => field.form && field.form.id === "load" && !("quiet" in field.dataset);

document.addEventListener("input", (event) => {
  const field = event.target;
  if (!field.form && !field.classList.contains("slider")) {
    return;
  }
  if (field.classList.contains("slider")) {
    slid(field);
    request(true);
  } else if ("food" in field.dataset) {
    look(field);
  } else if (ofSheet(field)) {
    typed(field); // letters are no value yet: it is asked once the field is left
  }
});

document.addEventListener("change", (event) => {
  const field = event.target;
  if (field.id === "reading.kind") {
    fitReading();
  } else if (field.dataset.same) {
    byId(field.dataset.same).value = field.value;
    fitStart();
    request(false);
  } else if (ofSheet(field)) {
    request(false);
  }
});

document.addEventListener(
  "toggle",
  (event) => {
    if (event.target.classList.contains("fold") && event.target.open) {
      unfold(event.target);
    }
  },
  true,
);

document.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (!button) {
    return;
  }
  if (button.id === "drop") {
    putting = undefined;
    forget();
    globalThis.icefrontHost ? go(place) : location.reload();
  } else if (button.id === "again") {
    request(false, missed);
  } else if (button.classList.contains("tap")) {
    tap(button);
  } else if (button.form && button.form.id === "load") {
    event.preventDefault();
    act(button.value);
  } else if (button.form && button.form.contains(byId("by-hand"))) {
    event.preventDefault();
    putting = [...new FormData(button.form)];
    request(false, "show");
  }
});

function act(value) {
  if (value.startsWith("view.")) {
    view(value.slice(5));
  } else if (["save", "replace"].includes(value)) {
    save(value);
  } else if (value !== "undo" || past.length) {
    request(false, value);
  }
}

function start() {
  if (!form()) {
    return;
  }
  [opened, settled, past] = [byId("sheet").value, byId("sheet").value, []];
  document.documentElement.classList.add("scripted");
  ready();
  markWrong();
  if (putBack()) {
    request(false, "show");
  } else if (byId("bar").dataset.whole === "false") {
    request(false);
  }
  const first = document.querySelector("details.fold");
  if (first && matchMedia("(min-width: 62rem)").matches) {
    first.open = true;
  }
}

if (globalThis.icefrontHost) {
  withoutServer();
}
// a host without a server begins with an empty page
globalThis.icefrontHost && !document.querySelector("main") ? go(place) : start();
