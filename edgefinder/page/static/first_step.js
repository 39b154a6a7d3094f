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
const KNOWN = "edgefinder-sizes-known";
/** A piece that is drawn anew by hand stays so near; a wrong unit is farther off. */
const LIKE = 1.2;
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
  const isKept = sessionStorage.getItem(KEPT) === signature();
  return ((isUntouched || isDoubtful) && !isKept) || isOther();
}

/** Whether the drawings are others than those whose sizes were taken for right. */
function isOther() {
  const { file, size, sizes, pieces, written } = shown.state;
  const known = knownSizes();
  if (known?.file !== file) return false;
  if (drawingsOf(written).some((name) => !known.drawings.includes(name))) return true;
  if (!sizes.some((one) => Object.hasOwn(known.sizes, one.size))) return true;
  const before = known.sizes[size];
  if (!before) return false;
  const both = pieces.filter(({ name }) => Object.hasOwn(before, name));
  return !both.some(({ name, width, height }) =>
    isLike(width, before[name][0]) && isLike(height, before[name][1])
  );
}

function isLike(one, other) {
  return one < other * LIKE && other < one * LIKE;
}

const drawingsOf = (written) => written[""].drawings ?? [];

function knownSizes() {
  return JSON.parse(sessionStorage.getItem(KNOWN) ?? "null");
}

/** Take the sizes of the pieces that are shown for right. */
function keepKnown() {
  const { file, size, pieces, written } = shown.state;
  if (!pieces.length) return;
  const shownNow = pieces.map(({ name, width, height }) => [name, [width, height]]);
  const before = knownSizes();
  const known = {
    file,
    drawings: drawingsOf(written),
    sizes: {
      ...(before?.file === file ? before.sizes : {}),
      [size]: Object.fromEntries(shownNow),
    },
  };
  sessionStorage.setItem(KNOWN, JSON.stringify(known));
}

function show() {
  if (!isAsked()) {
    if (dialog.open) dialog.close();
    keepKnown();
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
  const doubts = state.findings.filter((one) => OF_SCALE.has(one.code)).map(inPlainWords);
  renew(
    dialog,
    el("h2", { id: "first-step-title", tabindex: -1 }, "First: is the size right?"),
    el(
      "p",
      { id: "first-step-why" },
      "A drawing that is read too large or too small makes every figure wrong. Compare " +
        "these with your pattern, with a ruler.",
    ),
    doubts.length ? findingList(doubts, "first-findings") : null,
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

/** A finding with the field below in the place of an option of the commands. */
function inPlainWords(finding) {
  const message = finding.message.replace(
    /--test-square "([^"]+)" or test_square in the job file scales/,
    '"$1" in the field below scales',
  );
  return { ...finding, message };
}

function confirm() {
  sessionStorage.setItem(KEPT, signature());
  sessionStorage.removeItem(KNOWN);
  keepKnown();
  dialog.close();
  showPanel("edges");
  say("The sizes are right. Now choose the edges that are bound.");
  byId("panels").focus({ preventScroll: true });
}
