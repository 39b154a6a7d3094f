/** Edges that cannot be told in a size: the person says which they are there. */

import { change, showSize } from "./asking.js";
import { button, byId, el } from "./dom.js";
import { showMistakes } from "./notices.js";
import { choose, edgeKey, sizeTitle } from "./shown.js";

/** @param {import("./types.js").State} state */
export function doubtList(state) {
  return el(
    "section",
    { class: "to-mend", "aria-labelledby": "decide-title" },
    el("h3", { id: "decide-title" }, "Which edge is it?"),
    ...state.doubts.map((doubt, at) =>
      el(
        "div",
        { class: "doubt", "data-piece": doubt.piece, "data-size": doubt.size },
        ...question(doubt, at, state),
      )
    ),
  );
}

/**
 * @param {import("./types.js").Doubt} doubt
 * @param {import("./types.js").State} state
 */
function question(doubt, at, state) {
  const title = sizeTitle(doubt.size) ?? doubt.size;
  const words = `Edge ${doubt.edges.join(" and ")} of ${doubt.piece}, ${title}`;
  if (doubt.size !== state.size) {
    return [
      el("p", {}, `${words}: it cannot be told for sure which one it is there.`),
      button(`decide-${at}-show`, `Show ${title}`, () => showSize(doubt.size)),
    ];
  }
  const piece = state.pieces.find(({ name }) => name === doubt.piece);
  const edges = (piece?.edges ?? []).filter((edge) => edge.drawn !== null);
  const id = `decide-${at}`;
  const several = doubt.choices.filter((numbers) => numbers.length > 1);
  const mark = ({ target }) => point(piece, edges, numbersIn(target.value));
  const choice = el(
    "select",
    { id, on: { change: mark, focus: mark } },
    el("option", { value: "" }, "choose"),
    ...several.map((numbers) =>
      el("option", { value: numbers.join(" ") }, `${numbers.join(" and ")} together`)
    ),
    ...edges.map((edge) =>
      el("option", { value: edge.drawn }, `${edge.drawn}, ${edge.length} long`)
    ),
  );
  return [
    el("label", { for: id }, `${words}, is`),
    choice,
    button(`${id}-take`, "It is this one", () => {
      const { value } = byId(id);
      if (value) {
        decide(doubt, numbersIn(value), words);
      } else {
        showMistakes(["Choose from the list first which edge it is."]);
        byId(id).focus();
      }
    }),
    el(
      "p",
      { class: "help" },
      `From its shape: ${doubt.why}. What is chosen is marked in the picture.`,
    ),
  ];
}

function numbersIn(value) {
  return value.split(" ").filter(Boolean).map(Number);
}

function point(piece, edges, numbers) {
  const meant = edges.filter(({ drawn }) => numbers.includes(drawn));
  choose(meant.map((edge) => edgeKey(piece, edge)));
}

/** @param {import("./types.js").Doubt} doubt */
function decide(doubt, numbers, words) {
  const [edge] = doubt.edges;
  change(
    { do: "decide", piece: doubt.piece, size: doubt.size, edge, numbers },
    (state) => {
      choose([]);
      const left = state.doubts.length;
      return `${words}: settled. ${left ? `${left} more to settle.` : "Nothing is in doubt any more."}`;
    },
  );
}
