/**
 * Where labels stand: the same size at every scale, never over one another and never on
 * a piece that they do not belong to. Of two that collide the less important one is
 * left out.
 */

import { liesOn, meetsAnother, meetsGrain } from "./obstacles.js";

const CELL = 64; // pixels of the grid in which neighbours are looked for
const GAP = 3; // pixels between two labels, and between a label and another piece
const NEAR = 5; // pixels from an edge to its label, outside of the cloth
const INSIDE = -7; // pixels from an edge to its label, on the cloth
const FAR = 20; // pixels where there is no room near by
const OVERHANG = 32; // pixels by which a name may be wider than its piece
const LEAST = 56; // pixels that a name gets on the smallest piece
const NEEDED = 2; // rank up to which a label rather hides a bit of its own piece

/** @typedef {{left: number, top: number, right: number, bottom: number}} Box */

/**
 * @typedef {object} Anchor something that a label may stand at
 * @property {number} x millimetres
 * @property {number} y
 * @property {number} outX direction in which it stands
 * @property {number} outY
 */

/**
 * @typedef {object} Label
 * @property {SVGGElement} node its middle is its origin, its unit a pixel
 * @property {string} piece to which it belongs
 * @property {number} [width] pixels, with letters of the usual size
 * @property {number} height
 * @property {number} rank the smallest is the most important
 * @property {Anchor[]} [anchors] of the label of an edge or a place, the best one first
 * @property {boolean} [isKept] rather on its own point than left out
 * @property {string[]} [names] of a piece, the longest first; see {@link nameSpots}
 * @property {number} [larger] factor of the letters of such a name
 * @property {string} [written] what of it is written now
 */

/**
 * @typedef {object} Ground what labels are placed on
 * @property {number} scale pixels to a millimetre
 * @property {number} letters how large letters are, 1 for the usual size
 * @property {Box} bounds pixels from the origin of the drawing
 * @property {import("./obstacles.js").Obstacle[]} pieces
 */

/**
 * Place labels for a scale.
 *
 * @param {Label[]} labels
 * @param {Ground} ground
 */
export function placeLabels(labels, ground) {
  const taken = new Map();
  const owners = new Map(ground.pieces.map((piece) => [piece.name, piece]));
  for (const label of [...labels].sort((a, b) => a.rank - b.rank)) {
    const own = owners.get(label.piece);
    const spots = label.names
      ? nameSpots(label, own, ground)
      : edgeSpots(label, ground);
    const spot = firstFree(spots, label, own, ground, taken);
    label.node.classList.toggle("is-left-out", spot === null);
    put(label, spot ?? spots[0], ground);
    if (spot) take(boxOf(spot), taken);
  }
}

/** Pixels beside the pieces that the labels of edges need. */
export function roomBeside(labels) {
  const reach = labels.map(({ anchors, width }) => Math.abs(anchors[0].outX) * width);
  return NEAR + Math.max(0, ...reach) + GAP;
}

/**
 * @typedef {object} Spot in pixels
 * @property {number} x
 * @property {number} y
 * @property {number} width
 * @property {number} height
 * @property {string} [text]
 */

/** The first spot that hides nothing, or else the one that hides the least. */
function firstFree(spots, label, own, ground, taken) {
  let [onGrain, onLine] = [null, null];
  for (const spot of spots) {
    const box = boxOf(spot);
    if (isBeyond(box, ground.bounds) || isTaken(box, taken)) continue;
    const real = scaled(box, 1 / ground.scale);
    if (meetsAnother(ground.pieces, real, label.piece)) continue;
    if (liesOn(own, real) === "across") onLine ??= spot;
    else if (meetsGrain(own, real)) onGrain ??= spot;
    else return spot;
  }
  const found = onGrain ?? (label.rank <= NEEDED ? onLine : null);
  if (found || !label.isKept) return found;
  // The last one is its own point.
  return spots.findLast((spot) => !isTaken(boxOf(spot), taken)) ?? null;
}

/** Where the label of an edge or of a place may stand, the best spot first. */
function edgeSpots(label, { scale, letters }) {
  const width = label.width * letters;
  const height = label.height * letters;
  const at = ({ x, y, outX, outY }, away) => {
    const reach = (Math.abs(outX) * width + Math.abs(outY) * height) / 2;
    const far = away + Math.sign(away) * reach;
    return { x: x * scale + outX * far, y: y * scale + outY * far, width, height };
  };
  const spots = [NEAR, INSIDE].flatMap((away) => label.anchors.map((one) => at(one, away)));
  spots.push(at(label.anchors[0], FAR));
  if (label.isKept) spots.push(at(label.anchors[0], 0));
  return spots;
}

/**
 * Where the name of a piece may stand, and how much of it: on the cloth beside the grain
 * line, over or under the piece, and across the grain line only if there is no other room.
 */
function nameSpots(label, piece, { scale, letters }) {
  const height = label.height * letters;
  const wide = piece.width * scale;
  const texts = fittingNames(label, wide, letters);
  const on = (across, down) => [(piece.x + across * piece.width) * scale,
    (piece.y + down * piece.height) * scale];
  const beyond = GAP + 1 + height / 2;
  const inner = [[0.5, 0.5], [0.5, 0.25], [0.5, 0.75], [0.5, 0.1], [0.5, 0.9]];
  const beside = [0.5, 0.3, 0.7].flatMap((down) => [[0.3, down], [0.7, down]]);
  const outer = [0.5, 0.25, 0.75].flatMap((across) => {
    const [x, above] = on(across, 0);
    return [[x, above - beyond], [x, on(across, 1)[1] + beyond]];
  });
  const places = [...[...inner, ...beside].map((one) => on(...one)), ...outer];
  return texts.flatMap(([text, width]) =>
    places.map(([x, y]) => ({ x, y, width, height, text }))
  );
}

/** What of a name is not much wider than its piece, and what stands on it; with widths. */
function fittingNames(label, wide, letters) {
  const factor = label.larger * letters;
  const least = LEAST * letters;
  const most = Math.max(wide + OVERHANG, least);
  const whole = label.names.filter((name) => textWidth(name) * factor <= most);
  const shortest = label.names.at(-1);
  const cut = [most, wide - 2 * GAP]
    .filter((room) => room >= least && room < textWidth(shortest) * factor)
    .map((room) => shortened(shortest, room / factor));
  return [...new Set([...whole, ...cut])].map((text) => [text, textWidth(text) * factor]);
}

/** As much of a text as has room, with dots for the rest. */
export function shortened(text, room) {
  if (textWidth(text) <= room) return text;
  const signs = [...text];
  let count = Math.min(signs.length - 1, Math.ceil(signs.length * room / textWidth(text)) + 2);
  const cut = () => `${signs.slice(0, count).join("").trimEnd()}…`;
  while (count > 1 && measured(cut()) > room) count -= 1;
  return cut();
}

function put(label, spot, { scale, letters }) {
  if (spot.text !== undefined && label.written !== spot.text) {
    label.written = spot.text;
    label.node.querySelector("text").textContent = spot.text;
  }
  const at = `${(spot.x / scale).toFixed(3)} ${(spot.y / scale).toFixed(3)}`;
  label.node.setAttribute("transform", `translate(${at}) scale(${letters / scale})`);
}

function boxOf({ x, y, width, height }) {
  return {
    left: x - width / 2 - GAP,
    right: x + width / 2 + GAP,
    top: y - height / 2 - GAP,
    bottom: y + height / 2 + GAP,
  };
}

function scaled({ left, top, right, bottom }, by) {
  return { left: left * by, top: top * by, right: right * by, bottom: bottom * by };
}

function isBeyond(box, all) {
  return box.left < all.left || box.right > all.right || box.top < all.top ||
    box.bottom > all.bottom;
}

function isTaken(box, taken) {
  return cellsOf(box).some((cell) => (taken.get(cell) ?? []).some((one) => meet(one, box)));
}

function take(box, taken) {
  for (const cell of cellsOf(box)) {
    if (!taken.has(cell)) taken.set(cell, []);
    taken.get(cell).push(box);
  }
}

function meet(a, b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

function cellsOf({ left, right, top, bottom }) {
  const cells = [];
  for (let i = Math.floor(left / CELL); i <= Math.floor(right / CELL); i += 1) {
    for (let j = Math.floor(top / CELL); j <= Math.floor(bottom / CELL); j += 1) {
      cells.push(`${i} ${j}`);
    }
  }
  return cells;
}

/** @type {CanvasRenderingContext2D | null} */
let measure = null;
const widths = new Map();

function measured(text) {
  if (measure === null) {
    measure = document.createElement("canvas").getContext("2d");
    measure.font = "600 12px system-ui, sans-serif";
  }
  return measure.measureText(text).width;
}

/** How wide a text is in pixels, as the labels of the picture are written. */
export function textWidth(text) {
  if (!widths.has(text)) widths.set(text, measured(text));
  return widths.get(text);
}
