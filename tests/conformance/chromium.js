// Reads the SVG document that is shown, with nothing but what the browser itself
// says. Run as the body of a function; its argument is the size that shapes are
// enlarged to before their length is asked for.
const ENLARGED = arguments[0];
const LARGEST = 1e7; // the browser holds lengths below 2^25
const NAMESPACE = "http://www.w3.org/2000/svg";
const NEVER_DRAWN = "defs, symbol, clipPath, mask, marker, pattern";
const SHAPES = "path, rect, circle, ellipse, line, polyline, polygon";
const SIZES = {
  rect: ["x", "y", "width", "height", "rx", "ry"],
  circle: ["cx", "cy", "r"],
  ellipse: ["cx", "cy", "rx", "ry"],
  line: ["x1", "y1", "x2", "y2"],
};
const NUMBER = "[+-]?(?:\\d+\\.?\\d*|\\.\\d+)(?:[eE][+-]?\\d+)?";
const root = document.documentElement;

// A use element hides its copy from scripts. Put what SVG 2, section 5.6, says it
// stands for in its place; the box that the browser drew must stay the same.
function expandCopies() {
  const boxes = [];
  for (let use; (use = firstCopy()); ) {
    const before = use.getBBox();
    const outer = document.createElementNS(NAMESPACE, "g");
    for (const { name, value } of use.attributes) {
      if (!/^(x|y|width|height|(xlink:)?href|xmlns.*)$/.test(name)) {
        outer.setAttribute(name, value);
      }
    }
    const target = targetOf(use);
    if (target) outer.append(copyOf(use, target));
    use.replaceWith(outer);
    boxes.push([sides(before), outer]);
  }
  return boxes.map(([before, outer]) => [before, sides(outer.getBBox())]);
}

function firstCopy() {
  return [...root.querySelectorAll("use")].find((one) => !one.closest(NEVER_DRAWN));
}

function targetOf(use) {
  const link = use.href.baseVal;
  return link.startsWith("#") ? document.getElementById(link.slice(1)) : null;
}

function copyOf(use, target) {
  const inner = document.createElementNS(NAMESPACE, "g");
  const [x, y] = [use.x.baseVal.value, use.y.baseVal.value];
  inner.setAttribute("transform", `translate(${x} ${y})`);
  let copy = target.cloneNode(true);
  if (target.localName === "symbol") {
    copy = document.createElementNS(NAMESPACE, "svg");
    for (const { name, value } of target.attributes) {
      if (!name.startsWith("xmlns")) copy.setAttribute(name, value);
    }
    copy.append(...target.cloneNode(true).childNodes);
  }
  if (copy.localName === "svg") {
    for (const side of ["width", "height"]) {
      const size = use.getAttribute(side);
      if (size !== null) copy.setAttribute(side, size);
    }
  }
  inner.append(copy);
  return inner;
}

function sides(box) {
  return [box.x, box.y, box.x + box.width, box.y + box.height];
}

// The browser keeps the numbers of a transform attribute in single precision, but
// those of matrix(), rotate() and skew() in a style in double precision.
function sayTransformsInStyles() {
  for (const element of root.querySelectorAll("[transform]")) {
    const said = element.getAttribute("transform").trim();
    element.removeAttribute("transform");
    const isStyled = getComputedStyle(element).transform !== "none";
    element.setAttribute("transform", said);
    if (said && !isStyled) element.style.transform = inStyle(said);
  }
}

function inStyle(said) {
  return said.replace(/([a-zA-Z]+)\s*\(([^)]*)\)[\s,]*/g, (_, name, list) => {
    const n = list.match(new RegExp(NUMBER, "g"));
    if (name === "matrix") return `matrix(${n.join()}) `;
    if (name === "translate") return shift(n[0], n[1] ?? 0);
    if (name === "scale") return `matrix(${n[0]},0,0,${n[1] ?? n[0]},0,0) `;
    if (name !== "rotate") return `${name}(${n[0]}deg) `;
    const turn = `rotate(${n[0]}deg) `;
    return n.length < 3 ? turn : shift(n[1], n[2]) + turn + shift(-n[1], -n[2]);
  });
}

function shift(x, y) {
  return `matrix(1,0,0,1,${x},${y}) `;
}

function isDrawn(element) {
  if (element.closest(NEVER_DRAWN)) return false;
  for (let one = element; one !== document; one = one.parentNode) {
    if (getComputedStyle(one).display === "none" || hasNoRoom(one)) return false;
  }
  return element.checkVisibility({ visibilityProperty: true });
}

function hasNoRoom(element) {
  if (element === root || element.localName !== "svg") return false;
  return !(element.width.baseVal.value && element.height.baseVal.value);
}

function toRoot(element) {
  const toScreen = element.getScreenCTM();
  return entries(root.getScreenCTM().inverse().multiply(toScreen));
}

function entries(m) {
  return [m.a, m.b, m.c, m.d, m.e, m.f];
}

// Sizes of viewports are kept in single precision: whether any around the element,
// below the outermost, has one that this rounds.
function isInRoundedViewport(element) {
  for (let one = element.ownerSVGElement; one !== root; one = one.ownerSVGElement) {
    const { width, height } = one.viewBox.baseVal ?? {};
    const written = (one.getAttribute("viewBox") ?? "").split(/[\s,]+/).slice(2);
    written.push(one.getAttribute("width"), one.getAttribute("height"));
    const isRounded = (text) => text && Math.fround(text) !== Number(text);
    if (width && height && written.some(isRounded)) return true;
  }
  return false;
}

// Numbers of the path data times a factor: not the angles and flags of arcs.
function enlargedData(data, factor) {
  const tokens = new RegExp(`[a-df-zA-DF-Z]|${NUMBER}`, "y");
  let [out, command, index, at] = ["", "", 0, 0];
  while (at < data.length) {
    if (/[\s,]/.test(data[at])) {
      at += 1;
      continue;
    }
    const argument = /a/i.test(command) ? index % 7 : 0;
    tokens.lastIndex = at;
    const token = argument === 3 || argument === 4 ? data[at] : tokens.exec(data)?.[0];
    if (token === undefined) return out; // the browser draws up to the mistake
    at += token.length;
    if (/[a-z]/i.test(token[0])) {
      [command, index] = [token, 0];
      out += token;
    } else {
      out += ` ${argument > 1 && argument < 5 ? token : token * factor}`;
      index += 1;
    }
  }
  return out;
}

// The sizes of a basic shape in user units, as the browser resolved them; none for
// a radius that is "auto", which is the other one.
function sizesOf(element) {
  const computed = getComputedStyle(element);
  const sizes = {};
  for (const name of SIZES[element.localName] ?? []) {
    const style = computed[name] ?? "";
    if (style === "auto") continue;
    const isSaid = style.endsWith("px");
    sizes[name] = isSaid ? parseFloat(style) : element[name].baseVal.value;
  }
  return sizes;
}

function enlarged(element, factor) {
  const probe = document.createElementNS(NAMESPACE, element.localName);
  if (element.localName === "path") {
    probe.setAttribute("d", enlargedData(element.getAttribute("d") ?? "", factor));
  } else if (element.points) {
    const points = [...element.points].map(({ x, y }) => `${x * factor},${y * factor}`);
    probe.setAttribute("points", points.join(" "));
  }
  for (const [name, size] of Object.entries(sizesOf(element))) {
    probe.setAttribute(name, size * factor);
    // So that no rule of the style sheet has another.
    probe.style.setProperty(name, `${size * factor}px`, "important");
  }
  root.append(probe);
  return probe;
}

function shapeOf(element) {
  const box = element.getBBox();
  const size = Math.max(box.width, box.height) || ENLARGED;
  const reach = Math.max(...sides(box).map(Math.abs));
  const factor = Math.min(ENLARGED / size, LARGEST / (reach || size));
  const probe = enlarged(element, factor);
  const data = {
    tag: element.localName,
    id: element.getAttribute("id"),
    attributes: Object.fromEntries(
      [...element.attributes].map(({ name, value }) => [name, value])
    ),
    sizes: sizesOf(element),
    viewBox: viewBoxOf(element.ownerSVGElement),
    length: probe.getTotalLength() / factor,
    box: sides(box),
    enlargedBox: sides(probe.getBBox()).map((side) => side / factor),
    isRounded: isInRoundedViewport(element),
  };
  probe.remove();
  return data;
}

function viewBoxOf(viewport) {
  const said = viewport.getAttribute("viewBox");
  const numbers = said?.match(new RegExp(NUMBER, "g"))?.slice(2).map(Number);
  return numbers ?? [viewport.width.baseVal.value, viewport.height.baseVal.value];
}

const toScreen = entries(root.getScreenCTM());
const copies = expandCopies();
const drawn = [...root.querySelectorAll(SHAPES)].filter(isDrawn);
const singles = drawn.map(toRoot);
sayTransformsInStyles();
return {
  toScreen,
  copies,
  shapes: drawn.map((one, i) => ({
    ...shapeOf(one),
    singleMatrix: singles[i],
    matrix: toRoot(one),
  })),
};
