/** The first step: is everything as large as it is in cloth? It cannot be passed by. */

import { button, byId, el } from "./dom.js";
import { field } from "./fields.js";
import { findingList } from "./findings_panel.js";
import { isShut, say } from "./notices.js";
import { renew } from "./renewing.js";
import { shown, sizeTitle, whenChanged } from "./shown.js";
import { showPanel } from "./tabs.js";

/** Findings that put the size of a drawing in doubt. */
const OF_SCALE = new Set(["test-square", "unit-assumed", "unit-overridden", "unlikely-scale"]);

const KEPT = "edgefinder-sizes-right";
const LABELS = {
  test_square: "true side of the test square",
  drawing_unit: "one unit of the drawing is",
};

const dialog = byId("first-step");

export function startFirstStep() {
  whenChanged("state", show);
  // It waits for its own button. A browser asks once only before its Escape key closes a
  // dialog (HTML, close watchers), and not all know `closedby`: so the key is taken.
  dialog.addEventListener("cancel", (event) => event.preventDefault());
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && dialog.open) event.preventDefault();
  }, { capture: true });
  dialog.addEventListener("keydown", keepInside);
}

/** The tab key goes round inside of it. */
function keepInside(event) {
  if (event.key !== "Tab") return;
  const [first, last] = [byId("first-test_square"), byId("sizes-right")];
  const isFirst = [first, byId("first-step-title")].includes(document.activeElement);
  const goal = event.shiftKey ? isFirst && last : document.activeElement === last && first;
  if (!goal) return;
  event.preventDefault();
  goal.focus();
}

/** All that decides how large the drawing is. */
function signature() {
  const { file, written, findings } = shown.state;
  const { drawings, test_square: square, drawing_unit: unit } = written[""];
  const doubts = findings.filter((one) => OF_SCALE.has(one.code)).map((one) => one.message);
  return JSON.stringify([file, drawings, square, unit, doubts]);
}

function isAsked() {
  const state = shown.state;
  if (isShut() || !state?.pieces.length) return false;
  const isUntouched = state.written.runs.length === 0 &&
    state.pieces.every((piece) => piece.edges.every((edge) => edge.why.length === 0));
  const isDoubtful = state.findings.some((one) => OF_SCALE.has(one.code));
  return (isUntouched || isDoubtful) && sessionStorage.getItem(KEPT) !== signature();
}

function show() {
  if (!isAsked()) {
    if (dialog.open) dialog.close();
    return;
  }
  draw();
  if (!dialog.open) {
    dialog.showModal();
    byId("first-step-title").focus();
  }
}

function draw() {
  const state = shown.state;
  const specs = shown.forms[""];
  const where = { kind: "", name: "", id: "first", written: state.written[""] };
  const title = sizeTitle();
  renew(
    dialog,
    el("h2", { id: "first-step-title", tabindex: -1 }, "First: is the size right?"),
    el(
      "p",
      { id: "first-step-why" },
      "A drawing that is read too large or too small makes every figure wrong. Compare " +
        "these with your pattern, with a ruler.",
    ),
    state.findings.length ? findingList(state.findings, "first-findings") : null,
    el(
      "table",
      { id: "first-sizes" },
      el("caption", {}, `How large the pieces are${title ? `, ${title}` : ""}`),
      el(
        "thead",
        {},
        el("tr", {}, ...["piece", "width", "height"].map((t) => el("th", { scope: "col" }, t))),
      ),
      el(
        "tbody",
        {},
        ...state.pieces.map((piece) =>
          el(
            "tr",
            {},
            el("th", { scope: "row" }, piece.name),
            el("td", {}, piece.widthText),
            el("td", {}, piece.heightText),
          )
        ),
      ),
    ),
    el("p", {}, "If they are not right, say one of these:"),
    ...Object.keys(LABELS).map((key) => {
      const spec = specs.find((one) => one.key === key);
      return field(where, { ...spec, label: LABELS[key] });
    }),
    button("sizes-right", "These sizes are right", confirm, { class: "main" }),
  );
}

function confirm() {
  sessionStorage.setItem(KEPT, signature());
  dialog.close();
  showPanel("edges");
  say("The sizes are right. Now choose the edges that are bound.");
  byId("panels").focus({ preventScroll: true });
}
