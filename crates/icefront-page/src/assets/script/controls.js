// Sliders, - and +, the food picker: what the cook's hands are on.

const FOOD_MS = 150; // after the last letter

let looking; // waits for the last letter of a food

/** What only works with a script is shown by it. */
function ready() {
  for (const one of document.querySelectorAll("input.slider, button.tap")) {
    one.hidden = false;
  }
  byId("undo") && (byId("undo").hidden = past.length === 0);
  fitStart();
  fitReading();
  countDown();
}

const plain = (number) => String(Number(Number(number).toFixed(4)));

function slid(slider) {
  const field = byId(slider.dataset.for);
  field.value = slider.dataset.before + plain(slider.value) + slider.dataset.after;
  slider.setAttribute("aria-valuetext", plain(slider.value) + slider.dataset.unit);
}

function tap(button) {
  const slider = byId(button.dataset.for);
  const [step, by] = [Number(slider.dataset.tap), Number(button.dataset.by)];
  const wanted = Math.round(Number(slider.value) / step + by) * step;
  slider.value = Math.min(Number(slider.max), Math.max(Number(slider.min), wanted));
  slid(slider);
  request(true);
}

/** The slider follows what is typed. */
function typed(field) {
  const slider = byId(field.id.replace(/^f\./, "s."));
  const number = field.value.replace(",", ".").match(/^-?\d+(\.\d+)?$/);
  if (slider && number) {
    slider.value = number[0];
    slider.setAttribute("aria-valuetext", field.value + slider.dataset.unit);
  }
}

/** What the letters so far could mean, as buttons below them. */
function look(field) {
  clearTimeout(looking);
  looking = setTimeout(async () => {
    const tray = field.name.split(".")[1];
    try {
      const body = new URLSearchParams({ tray, words: field.value });
      const { status, text } = await ask("/foods", body.toString());
      const part = new DOMParser().parseFromString(text, "text/html").body.firstElementChild;
      if (status === 200 && document.activeElement === field && byId(part.id)) {
        byId(part.id).replaceWith(part);
      }
    } catch {
      // the next letter asks again
    }
  }, FOOD_MS);
}
