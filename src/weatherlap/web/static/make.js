// Small makers of elements; text is always text, never markup.
export function el(tag, values = {}, ...inside) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(values)) {
    if (name === "on") for (const [what, run] of Object.entries(value)) made.addEventListener(what, run);
    else if (value === true) made.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) made.setAttribute(name, value);
  }
  made.append(...inside.filter((part) => part !== null && part !== undefined && part !== ""));
  return made;
}

export function svgEl(tag, values = {}, text = "") {
  const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(values)) made.setAttribute(name, value);
  if (text) made.textContent = text;
  return made;
}

export function fill(node, ...inside) {
  node.replaceChildren(...inside.flat().filter(Boolean));
}
