/** The list of pieces and edges beside the picture, in step with it. */

import { goToFinishes, keyFinish } from "./actions.js";
import { byId, el, foldAway } from "./dom.js";
import { fields } from "./fields.js";
import { LETTERS } from "./finish_keys.js";
import { sample } from "./pens.js";
import { AS_IT_IS, renew } from "./renewing.js";
import { choose, edgeKey, hover, keyOf, shown, toggle, whenChanged } from "./shown.js";

/** Which box of the list takes part in the order of the tab key. */
let stop = "";

const panel = byId("panel-edges");

/** @param {(panel: string, draw: () => void) => void} drawWhenSeen */
export function startEdgeList(drawWhenSeen) {
  drawWhenSeen("edges", draw);
  whenChanged("chosen", mark);
  whenChanged("hovered", mark);
}

const boxes = () => [...panel.querySelectorAll(".edge-row input")];

function draw() {
  const pieces = shown.state.pieces;
  renew(
    panel,
    el("h2", { class: "unseen" }, "Edges"),
    pieces.length
      ? el("p", { class: "help" }, "Tick edges, or click them in the picture.")
      : el("p", {}, "There are no pieces to show yet. Findings says why."),
    ...pieces.map(pieceBlock),
    keyHelp(),
  );
  if (!boxes().some((box) => keyOf(box) === stop)) stop = boxes().map(keyOf)[0] ?? "";
  mark();
}

/** What is drawn of each piece, by the id of its block. */
const drawn = new Map();

function pieceBlock(piece, index) {
  const id = `block-${index}`;
  const pens = shown.state.runs.map((run) => [run.colour, run.dashes]);
  const written = writtenOf(piece);
  const tapes = shown.state.written.tapes.map((tape) => String(tape.name ?? ""));
  const said = JSON.stringify([piece, pens, written, tapes]);
  if (byId(id) && drawn.get(id) === said) return el("section", { id, [AS_IT_IS]: true });
  drawn.set(id, said);
  const cut = piece.cut > 1 ? `, cut ${piece.cut}` : "";
  return el(
    "section",
    { id, class: "piece-block", "aria-labelledby": `piece-${index}` },
    el(
      "h3",
      { id: `piece-${index}` },
      piece.name,
      el("span", { class: "aside" }, ` ${piece.widthText} × ${piece.heightText}${cut}`),
    ),
    el("ul", { class: "edges" }, ...piece.edges.map((edge) => edgeRow(piece, index, edge))),
    foldAway(
      `about-${index}`,
      `About ${piece.name}`,
      fields(
        { kind: "pieces", name: piece.name, id: `pieces-${index}`, written },
        shown.forms.pieces.map(({ key }) => key),
        { tape: tapes },
      ),
    ),
  );
}

/** What the job file says of a piece; names are compared without capitals. */
function writtenOf(piece) {
  const name = piece.name.toLowerCase();
  const all = shown.state.written.pieces;
  return all.find((one) => String(one.name).toLowerCase() === name) ?? {};
}

function edgeRow(piece, index, edge) {
  const id = `edge-${index}-${edge.number}`;
  const run = shown.state.runs[edge.runs[0] ?? -1];
  const finish = edge.isFold ? "fold" : edge.finish;
  return el(
    "li",
    {
      class: "edge-row",
      on: {
        pointerenter: () => hover(edgeKey(piece, edge)),
        pointerleave: () => hover(null),
      },
    },
    el("input", {
      type: "checkbox",
      id,
      tabindex: -1,
      "data-piece": piece.name,
      "data-edge": edge.number,
      "data-label": edge.label,
      on: {
        change: () => toggle(edgeKey(piece, edge)),
        focus: (event) => takeStop(event.currentTarget),
        blur: () => hover(null),
        keydown: onKey,
      },
    }),
    el(
      "label",
      { for: id },
      el("span", { class: "edge-known" }, el("span", { class: "unseen" }, `${piece.name} `), edge.label),
      sample(finish, run),
      el("span", { class: "edge-finish" }, run ? `bound ${edge.letters}` : finish),
      el("span", { class: "edge-length" }, edge.length),
    ),
  );
}

function takeStop(box) {
  stop = keyOf(box);
  for (const one of boxes()) one.tabIndex = one === box ? 0 : -1;
  hover(stop);
}

function mark() {
  for (const box of boxes()) {
    const key = keyOf(box);
    box.checked = shown.chosen.has(key);
    box.tabIndex = key === stop ? 0 : -1;
    const row = box.parentElement;
    row.classList.toggle("is-chosen", box.checked);
    row.classList.toggle("is-hovered", key === shown.hovered);
  }
}

function onKey(event) {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const all = boxes();
  const at = all.indexOf(event.currentTarget);
  const goes = {
    ArrowDown: at + 1,
    ArrowUp: at - 1,
    Home: 0,
    End: all.length - 1,
  }[event.key];
  if (goes !== undefined) {
    const next = all[goes];
    next?.focus();
    if (next && event.shiftKey && !next.checked) toggle(keyOf(next));
  } else if (event.key === "Enter") {
    goToFinishes();
  } else if (event.key === "Escape") {
    choose([]);
  } else if (!keyFinish(event.key)) {
    return;
  }
  event.preventDefault();
}

function keyHelp() {
  const row = (keys, does) =>
    el("tr", {}, el("th", { scope: "row" }, keys), el("td", {}, does));
  const table = (caption, rows) => el("table", {}, el("caption", {}, caption), el("tbody", {}, ...rows));
  return foldAway("keys", "Keys", [
    table("While the list or the picture is used", [
      ...Object.entries(LETTERS).map(([letter, finish]) => row(letter, `chosen edges: ${finish}`)),
      row("Esc", "choose none"),
    ]),
    table("In the list", [
      row("↑ ↓ Home End", "from edge to edge"),
      row("Space", "take the edge or leave it"),
      row("Shift ↑ ↓", "take the next one too"),
      row("Enter", "go to the finishes"),
    ]),
    table("In the picture", [
      row("← → ↑ ↓", "move; from place to place on a mark"),
      row("+ −", "closer, farther away"),
      row("0", "all of it"),
      row("click", "choose; with Shift or Ctrl, one more"),
      row("Shift and drag", "take the edges inside a box"),
    ]),
    table("Everywhere but in a field", [
      row("Ctrl Z", "undo"),
      row("Ctrl Shift Z", "redo"),
    ]),
  ]);
}

