/** Making elements. Text goes in as text, never as markup. */

const SVG = "http://www.w3.org/2000/svg";

/**
 * @param {Element} node
 * @param {Record<string, any>} given attributes; `on` holds handlers by event, `value`
 *   and `checked` are properties, false and null leave an attribute out
 * @param {(Node | string | null)[]} children
 */
function fill(node, given, children) {
  for (const [key, value] of Object.entries(given)) {
    if (key === "on") {
      handle(node, value);
    } else if (key === "value" || key === "checked") {
      node[key] = value;
    } else if (value !== false && value !== null && value !== undefined) {
      node.setAttribute(key, value === true ? "" : String(value));
    }
  }
  node.append(...children.filter((child) => child !== null && child !== undefined));
  return node;
}

/** @type {WeakMap<Element, Record<string, (event: Event) => void>>} */
const handlers = new WeakMap();

const dispatch = (event) => handlers.get(event.currentTarget)?.[event.type]?.(event);

/** Let an element be handled by these, in the place of all before. */
function handle(node, given) {
  const before = handlers.get(node) ?? {};
  for (const event of Object.keys(given)) {
    if (!Object.hasOwn(before, event)) node.addEventListener(event, dispatch);
  }
  handlers.set(node, { ...Object.fromEntries(Object.keys(before).map((e) => [e, null])), ...given });
}

/** Let an element be handled like another one. */
export function handleLike(node, other) {
  handle(node, handlers.get(other) ?? {});
}

/** @returns {HTMLElement} */
export function el(tag, given = {}, ...children) {
  return fill(document.createElement(tag), given, children);
}

/** @returns {SVGElement} */
export function svg(tag, given = {}, ...children) {
  return fill(document.createElementNS(SVG, tag), given, children);
}

/** @returns {HTMLElement} */
export function byId(id) {
  return document.getElementById(id);
}

/** A button that does something. */
export function button(id, text, does, given = {}) {
  return el("button", { type: "button", id, ...given, on: { click: does } }, text);
}

/** A field for one line of text that a browser neither corrects nor completes. */
export function textInput(given) {
  return el("input", { type: "text", autocomplete: "off", spellcheck: "false", ...given });
}

/** Something that is folded away until it is wanted. */
export function foldAway(id, title, children, given = {}) {
  return el(
    "details",
    { id, class: "fold-away", ...given },
    el("summary", { id: `${id}-title` }, title),
    ...children,
  );
}

/** Let an element have just these children; those that stay are not touched. */
export function setChildren(parent, nodes) {
  const wanted = new Set(nodes);
  for (const child of [...parent.children]) {
    if (!wanted.has(child)) child.remove();
  }
  nodes.forEach((node, at) => {
    if (parent.children[at] !== node) parent.insertBefore(node, parent.children[at] ?? null);
  });
}
