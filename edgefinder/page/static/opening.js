/** Taking drawings in: dropped on the page, or chosen. They stay on this machine. */

import { asked, inTurn, taken } from "./asking.js";
import { byId, el } from "./dom.js";
import { isShut } from "./notices.js";
import { postDrawing } from "./server.js";

/** How deep a dragged file is inside of elements of the page. */
let depth = 0;

export function startDropping() {
  addEventListener("dragenter", (event) => {
    if (!holdsFiles(event)) return;
    event.preventDefault();
    depth += 1;
    byId("drop").hidden = false;
  });
  addEventListener("dragleave", (event) => {
    if (!holdsFiles(event)) return;
    depth = Math.max(depth - 1, 0);
    if (depth === 0) byId("drop").hidden = true;
  });
  addEventListener("dragover", (event) => {
    if (holdsFiles(event)) event.preventDefault();
  });
  addEventListener("drop", (event) => {
    if (!holdsFiles(event)) return;
    event.preventDefault();
    depth = 0;
    byId("drop").hidden = true;
    takeIn(event.dataTransfer.files);
  });
}

function holdsFiles(event) {
  return !isShut() && event.dataTransfer?.types.includes("Files");
}

/** A button that asks for a file, for those who do not drag. */
export function drawingChooser() {
  const id = "choose-drawing";
  return el(
    "div",
    { class: "field" },
    el("label", { for: id }, "Choose a drawing (SVG or DXF)"),
    el("input", {
      type: "file",
      id,
      accept: ".svg,.svgz,.dxf",
      multiple: true,
      "aria-describedby": `${id}-help`,
      on: {
        change: async (event) => {
          const input = event.currentTarget;
          await takeIn(input.files);
          input.value = "";
        },
      },
    }),
    el(
      "p",
      { id: `${id}-help`, class: "help" },
      "Or drop it anywhere on the page. It is kept beside the job file and stays on this " +
        "machine.",
    ),
  );
}

/** @param {FileList} files */
async function takeIn(files) {
  for (const file of [...files]) {
    const state = await inTurn(() => {
      const { revision, size } = asked();
      return postDrawing(file, revision, size);
    });
    if (!taken(state, () => `${file.name} is taken in.`)) return;
  }
}
