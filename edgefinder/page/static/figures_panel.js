/** Figures of the size that is shown, tables over all sizes, and the places to watch. */

import { button, byId, el } from "./dom.js";
import { renew } from "./renewing.js";
import { choosePlace, shown, sizeTitle, whenChanged } from "./shown.js";
import { pairsOf, scrolling, tableOf } from "./tables.js";
import { showPanel } from "./tabs.js";

const panel = byId("panel-figures");

export function startFigures(drawWhenSeen) {
  drawWhenSeen("figures", draw);
  whenChanged("place", markRow);
}

/** Show the row of a place; with the keys, go there. */
export function goToPlace(number, takesFocus) {
  choosePlace(number);
  showPanel("figures");
  markRow();
  const row = byId(`place-row-${number}`);
  row?.scrollIntoView({ block: "nearest" });
  if (takesFocus) byId(`place-${number}`)?.focus();
}

function draw() {
  const state = shown.state;
  const title = sizeTitle();
  renew(
    panel,
    el("h2", { id: "figures-title" }, `Figures${title ? `, ${title}` : ""}`),
    ...(state.tapes.length ? state.tapes.map(tapeFigures) : [nothing()]),
    state.runs.length ? boundLengths() : null,
    places(),
    ...state.tables.map((table, i) => tableOf(table, `table-${i}`)),
    state.cautions.length ? cautions() : null,
  );
  markRow();
}

function nothing() {
  const { doubts, mistakes } = shown.state;
  return el(
    "p",
    {},
    mistakes.length || doubts.length
      ? "No figures while something is wrong or in doubt; Findings lists it."
      : "No figures yet: no edge is bound.",
  );
}

/** @param {import("./types.js").Tape} tape */
function tapeFigures(tape, index) {
  const pairs = [
    ["tape to cut", tape.toCut],
    ["fabric to buy", tape.toBuy],
    ["lies flat up to", tape.flatUpTo],
    ["places to watch", tape.watch],
  ];
  return el(
    "section",
    { class: "tape-figures", "aria-labelledby": `figures-tape-${index}`, "data-tape": tape.name },
    el(
      "h3",
      { id: `figures-tape-${index}` },
      `Tape ${tape.name} `,
      el("span", { class: "aside" }, `${tape.finishedWidth}, cut ${tape.cutWidth}`),
    ),
    pairsOf(pairs, { class: "figures is-large" }),
  );
}

function boundLengths() {
  const pairs = shown.state.runs.map(({ letter, name, times, bound }) => [
    `${letter} ${name}${times > 1 ? `, ${times} times` : ""}`,
    bound,
  ]);
  return el(
    "section",
    { "aria-labelledby": "bound-lengths" },
    el("h3", { id: "bound-lengths" }, "Bound length of each run"),
    pairsOf(pairs, { class: "figures is-large" }),
  );
}

function places() {
  const { places: rows, placeHead } = shown.state;
  if (!rows.length) return null;
  const width = placeHead.length + 1;
  return scrolling(
    "places",
    el(
      "table",
      { id: "places-table" },
      el("caption", { id: "places-caption" }, "Places to watch"),
      el(
        "thead",
        {},
        el("tr", {}, ...["place", ...placeHead].map((text) => el("th", { scope: "col" }, text))),
      ),
      ...rows.map((row) => placeRow(row, width)),
    ),
  );
}

/** @param {import("./types.js").PlaceRow} row */
function placeRow(row, width) {
  const show = () => {
    choosePlace(shown.place === row.number ? null : row.number);
    if (shown.place !== null) byId("picture").scrollIntoView({ block: "nearest" });
  };
  return el(
    "tbody",
    { id: `place-row-${row.number}`, "data-place": row.number },
    el(
      "tr",
      {},
      el(
        "th",
        { scope: "row" },
        button(`place-${row.number}`, String(row.number), show, {
          "aria-pressed": "false",
          title: "show it in the picture",
        }),
      ),
      ...row.cells.map((text) => el("td", {}, text)),
    ),
    el(
      "tr",
      { class: "more" },
      el(
        "td",
        { colspan: width },
        el(
          "div",
          { class: "reason" },
          row.needs ? el("p", {}, `${row.needs}.`) : null,
          el("ul", {}, ...row.advice.map((text) => el("li", {}, text))),
        ),
      ),
    ),
  );
}

function markRow() {
  for (const body of panel.querySelectorAll("#places-table tbody")) {
    const isShown = Number(body.dataset.place) === shown.place;
    body.classList.toggle("is-chosen", isShown);
    body.querySelector("button").setAttribute("aria-pressed", String(isShown));
  }
}

function cautions() {
  return el(
    "section",
    { class: "cautions", "aria-labelledby": "cautions-title" },
    el("h3", { id: "cautions-title" }, "Take care"),
    el("ul", {}, ...shown.state.cautions.map((text) => el("li", {}, text))),
  );
}
