/** The labels of a picture: edges, pieces and places to watch, with their texts. */

import { svg } from "./dom.js";
import { shortened, textWidth } from "./labels.js";
import { edgeKey } from "./shown.js";

const HEIGHT = 18; // pixels of a label
const PLACE = 22; // pixels of the mark of a place
const LARGER = 15 / 12; // letters of the name of a piece, as page.css has them
const LONGEST = 120; // pixels of the name of an edge
/** Parts of an edge at which its label may stand; the middle comes first. */
const PARTS = [0.35, 0.65, 0.2, 0.8];

/** Ranks: what is chosen stands before all, a plain seam comes last. */
const RANK = { chosen: 0, place: 1, bound: 2, piece: 3, finished: 4, seam: 5 };

/** @typedef {import("./labels.js").Label} Label */

/**
 * @param {import("./types.js").Piece} piece
 * @returns {(Label & {key: string, usualRank: number})[]}
 */
export function edgeLabels(piece) {
  return piece.edges.map((edge) => {
    const text = edgeText(edge);
    const width = textWidth(text) + 10;
    const rank = edge.runs.length || edge.finish === "bound"
      ? RANK.bound
      : edge.finish === "seam"
      ? RANK.seam
      : RANK.finished;
    const node = svg(
      "g",
      {
        class: `label${rank === RANK.bound ? " is-bound" : ""}`,
        "data-piece": piece.name,
        "data-edge": edge.number,
        "data-label": edge.label,
      },
      svg("rect", {
        x: -width / 2,
        y: -HEIGHT / 2,
        width,
        height: HEIGHT,
        rx: 3,
      }),
      svg("text", { y: 4 }, text),
    );
    return {
      node,
      key: edgeKey(piece, edge),
      usualRank: rank,
      rank,
      piece: piece.name,
      anchors: anchorsOf(piece, edge),
      width,
      height: HEIGHT,
    };
  });
}

/** Where the label of an edge may stand: at its middle, or at other parts of it. */
function anchorsOf(piece, { line, at, out }) {
  const [outX, outY] = out;
  const anchors = [{ x: piece.x + at[0], y: piece.y + at[1], outX, outY }];
  const long = [0];
  for (let i = 2; i < line.length; i += 2) {
    long.push(long.at(-1) + Math.hypot(line[i] - line[i - 2], line[i + 1] - line[i - 1]));
  }
  const side = sideOf(line, long, at, out);
  for (const part of PARTS) {
    const { x, y, dx, dy } = pointOn(line, long, part);
    anchors.push({ x: piece.x + x, y: piece.y + y, outX: side * dy, outY: -side * dx });
  }
  return anchors;
}

/** Whether the cloth lies to the left or to the right of an edge, as it is drawn. */
function sideOf(line, long, at, out) {
  const { dx, dy } = pointOn(line, long, 0.5);
  return out[0] * dy - out[1] * dx < 0 ? -1 : 1;
}

/** The point at a part of a line, and the direction of the line there. */
function pointOn(line, long, part) {
  const far = part * long.at(-1);
  const i = Math.max(1, long.findIndex((one) => one >= far));
  const step = long[i] - long[i - 1] || 1;
  const [x1, y1, x2, y2] = line.slice(2 * i - 2, 2 * i + 2);
  const t = (far - long[i - 1]) / step;
  const [dx, dy] = [(x2 - x1) / step, (y2 - y1) / step];
  return { x: x1 + t * (x2 - x1), y: y1 + t * (y2 - y1), dx, dy };
}

/** The number or name of an edge, and how it is finished. */
function edgeText(edge) {
  const known = shortened(edge.name || edge.label, LONGEST);
  if (edge.letters) return `${known} ${edge.letters}`;
  if (edge.isFold) return `${known} fold`;
  return edge.finish === "seam" ? known : `${known} ${edge.finish}`;
}

/** Whether a label is that of a chosen edge, and so comes before the others. */
export function rankOf(label, isChosen) {
  return isChosen ? RANK.chosen : label.usualRank;
}

/** @returns {Label} the name of a piece, of which as much is written as has room */
export function pieceLabel(piece) {
  const names = piece.cut > 1 ? [`${piece.name}, cut ${piece.cut}`, piece.name] : [piece.name];
  const node = svg("g", { class: "label is-piece" }, svg("text", { y: 5 }, names[0]));
  return { node, rank: RANK.piece, piece: piece.name, names, larger: LARGER, height: 16 };
}

/**
 * Marks of the places to watch on a piece; each verdict has its own shape.
 *
 * @param {import("./types.js").Piece} piece
 * @param {Map<number, string>} reasons of places by their number
 * @returns {(Label & {numbers: number[]})[]}
 */
export function placeMarks(piece, reasons) {
  return piece.places.map((place) => {
    const text = place.numbers.join(" ");
    const width = Math.max(textWidth(text) + 14, PLACE);
    const said = place.numbers.map((one) => `Place ${one}: ${reasons.get(one) ?? place.verdict}`);
    const node = svg(
      "g",
      {
        class: `place is-${place.verdict.replaceAll(" ", "-")}`,
        role: "button",
        tabindex: -1,
        "data-place": place.numbers[0],
        "aria-label": said.join(" "),
      },
      svg("rect", {
        class: "place-target",
        x: -Math.max(width, 24) / 2,
        y: -12,
        width: Math.max(width, 24),
        height: 24,
      }),
      svg("path", { d: shapeOf(place.verdict, width) }),
      svg("text", { y: 4 }, text),
      svg("title", {}, said.join("\n")),
    );
    return {
      node,
      numbers: place.numbers,
      rank: RANK.place,
      piece: piece.name,
      anchors: [{
        x: piece.x + place.at[0],
        y: piece.y + place.at[1],
        outX: place.out[0],
        outY: place.out[1],
      }],
      isKept: true,
      width: width + 2,
      height: PLACE + 2,
    };
  });
}

/** Round for steam, square for too tight, with cut corners for a mitre. */
function shapeOf(verdict, width) {
  const right = width / 2;
  const half = PLACE / 2;
  if (verdict === "too tight") {
    return `M${-right} ${-half}H${right}V${half}H${-right}Z`;
  }
  if (verdict === "mitre") {
    return `M${-right} 0L${5 - right} ${-half}H${right - 5}L${right} 0L${right - 5} ${half}` +
      `H${5 - right}Z`;
  }
  const flat = right - half;
  return `M${-flat} ${-half}H${flat}A${half} ${half} 0 0 1 ${flat} ${half}H${-flat}` +
    `A${half} ${half} 0 0 1 ${-flat} ${-half}Z`;
}
