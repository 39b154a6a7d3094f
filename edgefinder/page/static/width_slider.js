/** Trying another finished width: the picture shows what lies flat, nothing is written. */

import { change, inTurn } from "./asking.js";
import { button, byId, el } from "./dom.js";
import { say } from "./notices.js";
import { postTry } from "./server.js";
import { showTried, shown, whenChanged } from "./shown.js";

const MM_PER_INCH = 25.4;
/**
 * Steps of the slider: sixteenths of an inch from 1/8 in to 2 in, or half millimetres
 * from 3 mm to 50 mm. Any other width is typed into its field.
 */
const STEPS = {
  in: { step: MM_PER_INCH / 16, least: 2, most: 32, text: inches },
  mm: { step: 0.5, least: 6, most: 100, text: (count) => `${count / 2} mm` },
};

/** A whole number of sixteenths as a fraction in its lowest terms: "1 3/8 in". */
function inches(count) {
  const whole = Math.floor(count / 16);
  let [top, under] = [count % 16, 16];
  while (top && top % 2 === 0) [top, under] = [top / 2, under / 2];
  if (!top) return `${whole} in`;
  return whole ? `${whole} ${top}/${under} in` : `${top}/${under} in`;
}

/** The width that waits to be tried while another one is: the last one wins. */
let waiting = null;
let isAsking = false;
/** The slider whose width the picture shows. */
let drawnFor = "";

whenChanged("tried", () => {
  if (shown.tried === null) waiting = null;
});

/**
 * @param {import("./types.js").Tape} tape
 * @param {number} index
 */
export function widthSlider(tape, index) {
  const scale = STEPS[shown.state.unit === "in" ? "in" : "mm"];
  const id = `try-${index}`;
  const nearest = Math.round(tape.finishedMm / scale.step);
  const written = Math.min(Math.max(nearest, scale.least), scale.most);
  const slider = el("input", {
    type: "range",
    id,
    min: scale.least,
    max: scale.most,
    step: 1,
    value: written,
    "aria-valuetext": tape.finishedWidth,
    "data-tape": tape.name,
    on: {
      input: () => slid(id, tape, scale),
      keydown: (event) => {
        if (event.key !== "Escape") return;
        event.stopPropagation();
        back(id, tape, written);
      },
    },
  });
  return el(
    "fieldset",
    {
      class: "try",
      id: `${id}-group`,
      on: {
        focusout: (event) => {
          if (!event.currentTarget.contains(event.relatedTarget)) back(id, tape, written);
        },
      },
    },
    el("legend", {}, "Try another finished width"),
    el("label", { for: id, class: "unseen" }, `Finished width of tape ${tape.name}`),
    slider,
    el("output", { id: `${id}-said`, for: id }, `now ${tape.finishedWidth}`),
    button(`${id}-use`, "Use this width", () => use(id, tape, scale), { disabled: true }),
  );
}

function slid(id, tape, scale) {
  const text = scale.text(Number(byId(id).value));
  byId(id).setAttribute("aria-valuetext", text);
  byId(`${id}-said`).textContent = `at ${text}: …`;
  byId(`${id}-use`).disabled = false;
  waiting = { id, tape: tape.name, text };
  drawnFor = id;
  if (!isAsking) askNext();
}

/** Ask for the newest width only; no two are asked for at a time. */
async function askNext() {
  isAsking = true;
  try {
    while (waiting) {
      const { id, tape, text } = waiting;
      waiting = null;
      const tried = await inTurn(
        () => postTry(shown.state.size, tape, text),
        (lines) => tell(id, lines.join(" ")),
      );
      // Left, or moved on, while the answer was on its way.
      if (!tried || drawnFor !== id || waiting) continue;
      showTried(tried);
      tell(id, `at ${text}: ${counts(tried)}`);
    }
  } finally {
    isAsking = false;
  }
}

/** Write beside a slider, if it is there still. */
function tell(id, text) {
  const place = byId(`${id}-said`);
  if (place) place.textContent = text;
}

function counts({ steam, tooTight }) {
  if (!steam && !tooTight) return "lies flat everywhere";
  return `${steam} to steam, ${tooTight} too tight`;
}

/** Return to what is written. */
function back(id, tape, written) {
  drawnFor = "";
  waiting = null;
  const slider = byId(id);
  if (slider) {
    slider.value = String(written);
    slider.setAttribute("aria-valuetext", tape.finishedWidth);
    byId(`${id}-said`).textContent = `now ${tape.finishedWidth}`;
    const use = byId(`${id}-use`);
    if (use === document.activeElement) slider.focus();
    use.disabled = true;
  }
  if (shown.tried) say(`Tape ${tape.name} is ${tape.finishedWidth} as before.`);
  showTried(null);
}

function use(id, tape, scale) {
  const text = scale.text(Number(byId(id).value));
  drawnFor = "";
  waiting = null;
  const wanted = {
    do: "set",
    kind: "tapes",
    name: tape.name,
    key: "finished_width",
    value: text,
  };
  change(wanted, (state) => {
    const now = state.tapes.find((one) => one.name === tape.name);
    return `Tape ${tape.name} is ${text} wide now; ${now?.watch ?? "no"} places to watch.`;
  });
}
