/** The picture of the pieces: drawn anew for a state, marked for what is chosen. */

import { byId, setChildren, svg } from "./dom.js";
import { drawnBands, drawnPiece, edgeWords } from "./drawn_piece.js";
import { placeLabels, roomBeside } from "./labels.js";
import { edgeLabels, pieceLabel, placeMarks, rankOf } from "./picture_labels.js";
import { edgeKey, edgeOf, keyOf, shown, whenChanged } from "./shown.js";
import { Viewport } from "./viewport.js";

/** @type {import("./drawn_piece.js").Anchored[]} */
let anchored = [];
let ofEdges = [];
let ofPieces = [];
let ofPlaces = [];
let fittedTo = "";
/** What is drawn of each piece, by all that decides how it is drawn. */
let drawnBefore = new Map();

const drawing = byId("drawing");
const lines = svg("g", { "aria-hidden": "true" });
const labels = svg("g", { "aria-hidden": "true" });
const places = svg("g", {});
/** The label of the edge under the pointer, above all others. */
const pointed = svg("g", { "aria-hidden": "true" });

export const viewport = new Viewport(drawing, atScale);

export function startPicture() {
  drawing.append(lines, labels, places, pointed);
  whenChanged("state", draw);
  whenChanged("chosen", () => {
    markChosen();
    arrange();
  });
  whenChanged("hovered", markHovered);
  whenChanged("tried", drawTried);
  whenChanged("place", () => {
    markPlace();
    showPlace();
    arrange();
  });
}

function draw() {
  const state = shown.state;
  const runs = state.runs;
  anchored = [];
  ofEdges = [];
  ofPieces = [];
  ofPlaces = [];
  const reasons = new Map(state.places.map((row) => [row.number, reasonOf(row)]));
  const before = drawnBefore;
  drawnBefore = new Map();
  const pieces = state.pieces.map((piece) => {
    const said = JSON.stringify([drawnOf(piece), pensOn(piece, runs)]);
    const one = before.get(said) ?? drawnAnew(piece, runs);
    drawnBefore.set(said, one);
    anchored.push(...one.anchored);
    ofEdges.push(...one.edges);
    ofPieces.push(one.label);
    ofPlaces.push(...placeMarks(piece, reasons));
    return one.drawn;
  });
  const focused = document.activeElement?.dataset?.place;
  setChildren(lines, pieces);
  setChildren(labels, [...ofPieces, ...ofEdges].map((one) => one.node));
  places.replaceChildren(...ofPlaces.map((one) => one.node));
  places.classList.remove("is-left-out");
  byId("nothing-drawn").hidden = state.pieces.length > 0;
  oneTabStop();
  const which = `${state.file} ${state.size}`;
  markChosen();
  markHovered();
  markPlace();
  viewport.setAll(boxOf(state.pieces), roomBeside(ofEdges), which !== fittedTo);
  fittedTo = which;
  if (focused) places.querySelector(`[data-place="${Number(focused)}"]`)?.focus();
}

/** A piece without what is not drawn: lines of the job file move with every change. */
function drawnOf(piece) {
  return { ...piece, edges: piece.edges.map(({ why, ...edge }) => edge) };
}

/** How the runs look that go along a piece. */
function pensOn(piece, runs) {
  const on = [...piece.bound.map(({ run }) => run), ...piece.edges.flatMap((edge) => edge.runs)];
  return on.map((index) => runs[index]).map((run) => run && [run.name, run.colour, run.dashes]);
}

function drawnAnew(piece, runs) {
  const own = [];
  const drawn = drawnPiece(piece, runs, own);
  return { drawn, anchored: own, edges: edgeLabels(piece), label: pieceLabel(piece) };
}

/** @param {import("./types.js").PlaceRow} row */
function reasonOf(row) {
  return `${row.cells.slice(0, 4).join(", ")}. ${row.needs}.`;
}

function boxOf(pieces) {
  return {
    left: Math.min(0, ...pieces.map((piece) => piece.x)),
    top: Math.min(0, ...pieces.map((piece) => piece.y)),
    right: Math.max(1, ...pieces.map((piece) => piece.x + piece.width)),
    bottom: Math.max(1, ...pieces.map((piece) => piece.y + piece.height)),
  };
}

/** Keep what has one size on the screen at that size. */
function atScale() {
  const unit = 1 / viewport.scale;
  for (const { node, x, y, turn } of anchored) {
    const turned = turn === undefined ? "" : ` rotate(${(turn * 180) / Math.PI})`;
    node.setAttribute("transform", `translate(${x} ${y})${turned} scale(${unit})`);
  }
  arrange();
}

function arrange() {
  for (const label of ofEdges) label.rank = rankOf(label, shown.chosen.has(label.key));
  for (const mark of ofPlaces) mark.rank = mark.numbers.includes(shown.place) ? 0 : 1;
  placeLabels([...ofEdges, ...ofPieces, ...(shown.tried ? [] : ofPlaces)], {
    scale: viewport.scale,
    letters: viewport.letters,
    bounds: viewport.bounds(),
    pieces: shown.state.pieces,
  });
  showPointed();
}

function markChosen() {
  for (const ring of lines.querySelectorAll(".edge-ring")) {
    ring.classList.toggle("is-chosen", shown.chosen.has(keyOf(ring)));
  }
  for (const label of ofEdges) {
    label.node.classList.toggle("is-chosen", shown.chosen.has(label.key));
  }
}

function markHovered() {
  for (const ring of lines.querySelectorAll(".edge-ring")) {
    ring.classList.toggle("is-hovered", keyOf(ring) === shown.hovered);
  }
  showPointed();
  readOut();
}

/** Say what a mark stands for, or else what the edge that is pointed at is. */
export function readOut(mark = null) {
  const found = shown.hovered === null ? undefined : edgeOf(shown.hovered);
  const words = found ? edgeWords(found.piece, found.edge, shown.state.runs) : "";
  byId("readout").textContent = mark?.getAttribute("aria-label") ?? words;
}

/** The label of the edge that is pointed at is shown even where there is no room. */
function showPointed() {
  const label = ofEdges.find((one) => one.key === shown.hovered);
  if (!label) return pointed.replaceChildren();
  const copy = label.node.cloneNode(true);
  copy.classList.remove("is-left-out");
  copy.classList.add("is-pointed");
  return pointed.replaceChildren(copy);
}

function drawTried() {
  const tried = shown.tried;
  const bands = new Map(
    (tried ?? shown.state).pieces.map((piece) => [piece.name, piece.bands]),
  );
  for (const group of lines.querySelectorAll(".bands")) {
    const own = bands.get(group.dataset.piece);
    if (own) group.replaceChildren(...drawnBands(own));
  }
  // Pieces with bands that are only tried are not to be taken again.
  if (tried) drawnBefore.clear();
  places.classList.toggle("is-left-out", tried !== null);
  arrange();
}

function markPlace() {
  for (const mark of ofPlaces) {
    const isShown = mark.numbers.includes(shown.place);
    mark.node.classList.toggle("is-chosen", isShown);
    if (isShown) mark.node.setAttribute("aria-current", "true");
    else mark.node.removeAttribute("aria-current");
  }
}

/** Bring the chosen place into sight. */
function showPlace() {
  const mark = ofPlaces.find((one) => one.numbers.includes(shown.place));
  if (!mark) return;
  const [{ x, y }] = mark.anchors;
  if (!viewport.shows(x, y)) viewport.centre(x, y);
}

/** All marks are one stop of the tab key; arrows go from one to the next. */
export function oneTabStop(node = places.firstElementChild) {
  for (const mark of places.children) mark.setAttribute("tabindex", mark === node ? 0 : -1);
}

/** The mark before or after another one. */
export function markBeside(node, way) {
  const all = [...places.children].filter((one) => !one.classList.contains("is-left-out"));
  return all[all.indexOf(node) + way];
}

/** The edge of a piece that is nearest to a point of the drawing. */
export function nearestEdge(pieceName, x, y) {
  const piece = shown.state.pieces.find((one) => one.name === pieceName);
  let best = null;
  let least = Infinity;
  for (const edge of piece?.edges ?? []) {
    const far = distance(edge.line, x - piece.x, y - piece.y);
    if (far < least) [best, least] = [edge, far];
  }
  return best && edgeKey(piece, best);
}

/** From a point to a line of corners. */
function distance(line, x, y) {
  let least = Infinity;
  for (let i = 2; i < line.length; i += 2) {
    const [x1, y1, dx, dy] = [line[i - 2], line[i - 1], line[i] - line[i - 2], line[i + 1] - line[i - 1]];
    const square = dx * dx + dy * dy;
    const along = square ? ((x - x1) * dx + (y - y1) * dy) / square : 0;
    const t = Math.min(Math.max(along, 0), 1);
    least = Math.min(least, Math.hypot(x - x1 - t * dx, y - y1 - t * dy));
  }
  return least;
}

/** Keys of the edges that lie wholly inside a box. */
export function edgesInside({ left, top, right, bottom }) {
  return shown.state.pieces.flatMap((piece) =>
    piece.edges
      .filter(({ line }) =>
        line.every((value, i) => {
          const at = value + (i % 2 ? piece.y : piece.x);
          return i % 2 ? at >= top && at <= bottom : at >= left && at <= right;
        })
      )
      .map((edge) => edgeKey(piece, edge))
  );
}
