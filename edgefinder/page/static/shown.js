/** What the page shows at the moment, and who is told when it changes. */

/** @typedef {"state" | "chosen" | "hovered" | "place" | "tried"} What */

const listeners = new EventTarget();

/**
 * @type {{
 *   state: import("./types.js").State | null,
 *   forms: Record<string, import("./types.js").FieldSpec[]>,
 *   chosen: Set<string>,
 *   hovered: string | null,
 *   place: number | null,
 *   tried: import("./types.js").Tried | null,
 * }}
 */
export const shown = {
  state: null,
  forms: {},
  chosen: new Set(),
  hovered: null,
  place: null,
  tried: null,
};

/** @param {What} what */
export function whenChanged(what, then) {
  listeners.addEventListener(what, then);
}

/** @param {What} what */
function tell(what) {
  listeners.dispatchEvent(new Event(what));
}

/** What an edge is known by as long as the job file calls it the same. */
export function edgeKey(piece, edge) {
  return `${piece.name}\n${edge.label}`;
}

/** @type {Map<string, {piece: import("./types.js").Piece, edge: import("./types.js").Edge}>} */
let edges = new Map();

/** The piece and the edge that a key means now, or undefined. */
export function edgeOf(key) {
  return edges.get(key);
}

/** The key of the edge that an element stands for. */
export function keyOf({ dataset }) {
  return `${dataset.piece}\n${dataset.label}`;
}

/** The chosen edges in the order of the pieces. */
export function chosenEdges() {
  return [...edges].filter(([key]) => shown.chosen.has(key)).map(([, found]) => found);
}

/** What a size is called, or undefined where a pattern has none. */
export function sizeTitle(size = shown.state.size) {
  return shown.state.sizes.find((one) => one.size === size)?.title;
}

/** What an edge is called: as the job file writes it. */
export function titleOf(key) {
  return key.replace("\n", " ");
}

/**
 * @param {import("./types.js").State} state
 * @param {Iterable<string>} [chosen] as before, unless their keys are others now
 */
export function takeState(state, chosen = shown.chosen) {
  const isOther = state.size !== shown.state?.size;
  shown.state = state;
  edges = new Map(
    state.pieces.flatMap((piece) =>
      piece.edges.map((edge) => [edgeKey(piece, edge), { piece, edge }])
    ),
  );
  shown.chosen = new Set([...chosen].filter((key) => edges.has(key)));
  shown.tried = null;
  if (isOther || !state.places.some((row) => row.number === shown.place)) {
    shown.place = null;
  }
  tell("state");
}

/** @param {Iterable<string>} keys */
export function choose(keys) {
  shown.chosen = new Set(keys);
  tell("chosen");
}

export function toggle(key) {
  const others = new Set(shown.chosen);
  if (!others.delete(key)) others.add(key);
  choose(others);
}

export function hover(key) {
  if (key === shown.hovered) return;
  shown.hovered = key;
  tell("hovered");
}

/** @param {number | null} number of a place to watch */
export function choosePlace(number) {
  shown.place = number;
  tell("place");
}

/** @param {import("./types.js").Tried | null} tried */
export function showTried(tried) {
  if (tried === null && shown.tried === null) return;
  shown.tried = tried;
  tell("tried");
}
