// Marks on a photo: arrow, ring, text; kept apart from the picture.
import { ask } from "./ask.js";
import { el, fill, svgEl } from "./make.js";

export function markPhoto(photo, changed) {
  const marks = photo.marks.map((m) => ({ ...m }));
  let tool = "ring";
  const layer = svgEl("svg", { viewBox: "0 0 1000 1000", preserveAspectRatio: "none", tabindex: 0, role: "group", "aria-label": "Marks on the photo: arrows move a crosshair, Enter begins a mark and ends it" });
  const high = (1000 * photo.height) / photo.width;
  layer.setAttribute("viewBox", `0 0 1000 ${high}`);
  const words = el("input", { maxlength: 500, value: photo.words });
  const text = el("input", { maxlength: 200, value: "" });
  const problems = el("div", { class: "problems", role: "alert" });
  const pick = (value, label) => el("label", {}, el("input", { type: "radio", name: "mark", value, checked: value === tool, on: { change: () => { tool = value; } } }), label);
  const dialog = el("dialog", { "aria-label": "Photo and its marks" },
    el("div", { class: "draw" }, el("img", { src: `/api/photos/${photo.id}?wide=1600`, alt: photo.words || "Photo of the job" }), layer),
    el("fieldset", { class: "segs" }, el("legend", {}, "Drag on the photo to draw"), pick("ring", "a ring"), pick("arrow", "an arrow"), pick("text", "the text below")),
    el("label", {}, "Text to put", text), el("label", {}, "What the photo shows", words), problems,
    el("p", { class: "ends" },
      el("button", { type: "button", class: "button strong", on: { click: save } }, "Keep the marks"),
      el("button", { type: "button", class: "button", on: { click: () => { marks.pop(); draw(); } } }, "Take the last mark off"),
      el("button", { type: "button", class: "button", on: { click: takeOff } }, "Take it off the job"),
      el("button", { type: "button", class: "button", on: { click: () => dialog.close() } }, "Leave it")));
  let from = null;
  const at = (e) => { const b = layer.getBoundingClientRect(); return [(e.clientX - b.left) / b.width, (e.clientY - b.top) / b.height].map((x) => Math.min(1, Math.max(0, x))); };
  layer.addEventListener("pointerdown", (e) => { layer.setPointerCapture(e.pointerId); from = at(e); });
  layer.addEventListener("pointermove", (e) => { if (from) draw({ kind: tool, spots: [from, at(e)], words: text.value }); });
  layer.addEventListener("pointerup", (e) => {
    if (!from) return;
    put(from, at(e));
    from = null;
  });
  let cross = [0.5, 0.5];
  layer.addEventListener("keydown", (e) => {
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    if (e.key in ways) {
      cross = cross.map((x, k) => Math.min(1, Math.max(0, x + ways[e.key][k] * (e.shiftKey ? 0.005 : 0.04))));
      draw(from ? { kind: tool, spots: [from, cross], words: text.value } : null);
    } else if (e.key === "Enter" || e.key === " ") {
      if (from || tool === "text") { put(from ?? cross, cross); from = null; } else from = cross;
    } else if (e.key === "Escape" && from) from = null;
    else return;
    e.preventDefault();
    const [x, y] = [cross[0] * 1000, cross[1] * high];
    layer.append(svgEl("path", { d: `M${x - 40} ${y}h80M${x} ${y - 40}v80`, stroke: "#8d1a12", "stroke-width": 5, fill: "none" }));
  });

  function put(first, last) {
    const mark = { kind: tool, spots: [first, last], words: tool === "text" ? text.value.trim() : "" };
    if (tool === "text" && !mark.words) problems.textContent = "Write the text first.";
    else { marks.push(mark); problems.textContent = ""; }
    draw();
  }

  function draw(more = null) {
    fill(layer, [...marks, ...(more ? [more] : [])].flatMap(shape));
  }
  function shape({ kind, spots, words: said }) {
    const [[x1, y1], [x2, y2]] = [spots[0], spots.at(-1)].map(([x, y]) => [x * 1000, y * high]);
    const pens = [{ stroke: "#fff", "stroke-width": 13 }, { stroke: "#8d1a12", "stroke-width": 7 }];
    if (kind === "text") return [svgEl("text", { x: x1, y: y1, "font-size": 44, "font-weight": 700, fill: "#8d1a12", stroke: "#fff", "stroke-width": 9, "paint-order": "stroke" }, said)];
    if (kind === "ring") return pens.map((p) => svgEl("ellipse", { cx: (x1 + x2) / 2, cy: (y1 + y2) / 2, rx: Math.max(14, Math.abs(x2 - x1) / 2), ry: Math.max(14, Math.abs(y2 - y1) / 2), fill: "none", ...p }));
    const turn = Math.atan2(y2 - y1, x2 - x1);
    const tip = (a) => `${x2 - 46 * Math.cos(turn + a)},${y2 - 46 * Math.sin(turn + a)}`;
    return pens.flatMap((p) => [svgEl("polyline", { points: `${x1},${y1} ${x2},${y2}`, fill: "none", ...p }), svgEl("polyline", { points: `${tip(0.45)} ${x2},${y2} ${tip(-0.45)}`, fill: "none", ...p })]);
  }
  // Asked twice: the picture's file goes with it.
  async function takeOff(event) {
    const button = event.currentTarget;
    if (!button.dataset.asked) {
      button.dataset.asked = "yes";
      button.textContent = "Really take it off, with its file";
      return;
    }
    try {
      await ask(`/api/photos/${photo.id}`, { method: "DELETE" });
      dialog.close();
      changed();
    } catch (error) {
      problems.textContent = error.message;
    }
  }
  async function save() {
    try {
      await ask(`/api/photos/${photo.id}/marks`, { method: "PUT", body: { marks, words: words.value } });
      dialog.close();
      changed();
    } catch (error) {
      problems.textContent = error.message;
    }
  }
  dialog.addEventListener("close", () => dialog.remove());
  document.body.append(dialog);
  draw();
  dialog.showModal();
}
