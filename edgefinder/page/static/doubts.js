/** Edges that cannot be told in a size: the person says which they are there. */

import { change, showSize } from "./asking.js";
import { button, byId, el } from "./dom.js";
import { showMistakes } from "./notices.js";
import { edgeKey, hover, sizeTitle } from "./shown.js";

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
  const choice = el(
    "select",
    {
      id,
      on: {
        change: ({ target }) => point(piece, edges, target.value),
        focus: ({ target }) => point(piece, edges, target.value),
        blur: () => hover(null),
      },
    },
    el("option", { value: "" }, "choose"),
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
        decide(doubt, Number(value), words);
      } else {
        showMistakes(["Choose from the list first which edge it is."]);
        byId(id).focus();
      }
    }),
    el("p", { class: "help" }, "The edge that is chosen is marked in the picture."),
  ];
}

function point(piece, edges, value) {
  const edge = edges.find(({ drawn }) => String(drawn) === value);
  hover(edge ? edgeKey(piece, edge) : null);
}

/** @param {import("./types.js").Doubt} doubt */
function decide(doubt, number, words) {
  const [edge] = doubt.edges;
  change(
    { do: "decide", piece: doubt.piece, size: doubt.size, edge, number },
    (state) => {
      const left = state.doubts.length;
      return `${words}: settled. ${left ? `${left} more to settle.` : "Nothing is in doubt any more."}`;
    },
  );
}
