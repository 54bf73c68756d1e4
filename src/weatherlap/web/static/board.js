// A face that can be touched: what lies under a thumb, the piece in hand, edges to drag.
import { cutLine } from "./cutline.js";
import { svgEl } from "./make.js";
import { grained, tape } from "./tape.js";

const SLIP = 8;
const STEPS_ACROSS = 40;

export function inside(rings, u, v) {
  let odd = false;
  for (const ring of rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const [x1, y1] = ring[i], [x2, y2] = ring[j];
      if (y1 > v !== y2 > v && u < ((x2 - x1) * (v - y1)) / (y2 - y1) + x1) odd = !odd;
    }
  }
  return odd;
}

const slid = (from, event) => Math.hypot(event.clientX - from.x, event.clientY - from.y);

export class Board {
  constructor(holder, calls) {
    this.holder = holder;
    this.calls = calls;
    this.touch = null;
    this.layer = null;
    this.held = null;
    this.tool = "hold";
    this.corners = [];
    this.cursor = null;
    this.cut = null;
  }

  show(board) {
    if (board.touch.face !== this.touch?.face) { this.corners = []; this.cursor = null; this.cut = null; }
    this.touch = board.touch;
    this.holder.innerHTML = board.svg;
    const { width, height } = board.touch;
    this.layer = svgEl("svg", { viewBox: `0 0 ${width} ${height}`, class: "touch", tabindex: 0 });
    this.layer.setAttribute("role", "group");
    this.layer.setAttribute("aria-label", `${board.touch.title}: arrows move a crosshair, Enter taps there`);
    this.holder.append(this.layer);
    this.listen();
    this.redraw();
  }

  use(tool) {
    this.tool = tool;
    this.corners = [];
    this.redraw();
  }

  hold(piece) {
    this.held = piece;
    this.redraw();
  }

  x(u) { return this.touch.left + (u - this.touch.u_min) * this.touch.scale; }
  y(v) { return this.touch.bottom - (v - this.touch.v_min) * this.touch.scale; }

  // Half of what a thumb needs, in units of the drawing.
  get reach() { return 22 * Math.max(1, this.touch.width / (this.layer.clientWidth || this.touch.width)); }

  place(event) {
    const box = this.layer.getBoundingClientRect();
    const x = ((event.clientX - box.left) / box.width) * this.touch.width;
    const y = ((event.clientY - box.top) / box.height) * this.touch.height;
    return [this.touch.u_min + (x - this.touch.left) / this.touch.scale, this.touch.v_min + (this.touch.bottom - y) / this.touch.scale];
  }

  within([u, v]) {
    const [u0, v0, u1, v1] = this.touch.box;
    return [Math.min(u1, Math.max(u0, u)), Math.min(v1, Math.max(v0, v))];
  }

  // Pieces whose seen part lies under a place, the outermost first.
  under(u, v) {
    const seen = this.touch.panels.filter((p) => inside(p.rings, u, v)).map((p) => p.piece);
    return [...new Set(seen.reverse())];
  }

  listen() {
    let from = null;
    this.layer.addEventListener("pointerdown", (event) => {
      if (event.button || event.target.closest(".grab, .letter, .cutgrab")) return;
      from = { x: event.clientX, y: event.clientY, at: this.within(this.place(event)) };
      if (this.tool === "lay") this.layer.setPointerCapture(event.pointerId);
    });
    this.layer.addEventListener("pointermove", (event) => {
      if (from && this.tool === "lay" && slid(from, event) >= SLIP) this.drawNew(from.at, this.within(this.place(event)));
    });
    this.layer.addEventListener("pointerup", (event) => {
      if (!from) return;
      const start = from;
      from = null;
      if (slid(start, event) < SLIP) this.tap(start.at);
      else if (this.tool === "lay") this.endNew(start.at, this.within(this.place(event)));
    });
    this.layer.addEventListener("pointercancel", () => { from = null; this.redraw(); });
    this.layer.addEventListener("keydown", (event) => this.key(event));
  }

  tap(at) {
    if (this.tool === "lay") this.addCorner(at);
    else this.calls.tapped(at, this.under(...at));
  }

  // A crosshair for the keyboard.
  key(event) {
    if (event.target !== this.layer) return;
    const [u0, v0, u1, v1] = this.touch.box;
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    const at = this.cursor ?? [grained((u0 + u1) / 2), grained((v0 + v1) / 2)];
    if (event.key in ways) {
      const step = event.shiftKey ? 1 / 16 : Math.max(1 / 4, Math.round(Math.max(u1 - u0, v1 - v0) / STEPS_ACROSS));
      this.cursor = this.within([at[0] + ways[event.key][0] * step, at[1] + ways[event.key][1] * step]);
      this.calls.say(`${tape(this.cursor[0] - u0)} right, ${tape(this.cursor[1] - v0)} up`);
      this.redraw();
    } else if (event.key === "Enter" || event.key === " ") this.tap(at);
    else if (event.key === "Escape") this.forget();
    else return;
    event.preventDefault();
  }

  addCorner(at) {
    this.corners.push([grained(at[0]), grained(at[1])]);
    this.calls.say(`Corner ${this.corners.length} at ${tape(at[0] - this.touch.box[0])} right, ${tape(at[1] - this.touch.box[1])} up`);
    this.redraw();
  }

  lessOutline() {
    this.corners.pop();
    this.calls.say(this.corners.length ? `${this.corners.length} corners left` : "No corner left.");
    this.redraw();
  }

  closeOutline() {
    if (this.corners.length < 3) return this.calls.say("Tap three corners at least, or drag a rectangle.");
    this.calls.drawn({ outline: [...this.corners] });
  }

  forget() {
    this.corners = [];
    this.redraw();
  }

  rect(a, b) {
    const us = [grained(a[0]), grained(b[0])].sort((p, q) => p - q);
    const vs = [grained(a[1]), grained(b[1])].sort((p, q) => p - q);
    return [us[0], vs[0], us[1], vs[1]];
  }

  drawNew(a, b) {
    this.redraw();
    const [u0, v0, u1, v1] = this.rect(a, b);
    this.box([u0, v0, u1, v1], "new");
    this.calls.say(`${tape(u1 - u0)} wide, ${tape(v1 - v0)} high`);
  }

  endNew(a, b) {
    const rect = this.rect(a, b);
    this.redraw();
    if (rect[2] - rect[0] >= 1 / 4 && rect[3] - rect[1] >= 1 / 4) this.calls.drawn({ rect });
    else this.calls.say("Drag from one corner of the new piece to the other.");
  }

  box([u0, v0, u1, v1], kind) {
    this.layer.append(svgEl("rect", { x: this.x(u0), y: this.y(v1), width: (u1 - u0) * this.touch.scale, height: (v1 - v0) * this.touch.scale, class: kind }));
  }

  redraw() {
    if (!this.layer) return;
    const focused = this.layer.querySelector(":focus")?.dataset.side;
    this.layer.replaceChildren();
    this.layer.classList.toggle("draws", this.tool === "lay");
    this.layer.classList.toggle("writes", this.tool !== "hold");
    if (this.tool === "hold") {
      for (const panel of this.touch.panels.filter((p) => p.piece === this.held)) this.box(panel.box, "held");
      this.handles();
    }
    this.outline();
    if (this.cut !== null) cutLine(this);
    for (const ring of this.touch.rings) this.letter(ring);
    this.calls.extras?.(this);
    if (this.cursor) this.crosshair();
    if (focused) this.layer.querySelector(`[data-side="${focused}"]`)?.focus();
  }

  outline() {
    if (!this.corners.length) return;
    const points = this.corners.map(([u, v]) => `${this.x(u)},${this.y(v)}`).join(" ");
    this.layer.append(svgEl("polygon", { points, class: "new" }));
    for (const [u, v] of this.corners) this.layer.append(svgEl("circle", { cx: this.x(u), cy: this.y(v), r: 5, class: "corner" }));
  }

  crosshair() {
    const [x, y] = [this.x(this.cursor[0]), this.y(this.cursor[1])];
    this.layer.append(svgEl("path", { d: `M${x - 16} ${y}h32M${x} ${y - 16}v32`, class: "cross" }));
  }

  cutAt(at) {
    this.cut = at;
    this.redraw();
  }

  letter(ring) {
    const at = svgEl("circle", { cx: ring.x, cy: ring.y, r: Math.min(this.reach, 26), class: "letter", tabindex: 0, role: "button", "aria-label": `Finding ${ring.letter}` });
    const go = () => this.calls.letter(ring.letter);
    at.addEventListener("click", go);
    at.addEventListener("keydown", (event) => { if (event.key === "Enter" || event.key === " ") { event.preventDefault(); go(); } });
    this.layer.append(at);
  }

  point(at) {
    this.redraw();
    this.layer.append(svgEl("circle", { cx: this.x(at[0]), cy: this.y(at[1]), r: 20, class: "spot" }));
  }

  handles() {
    const boxes = this.touch.panels.filter((p) => p.piece === this.held).map((p) => p.box);
    if (!boxes.length || !this.calls.movable(this.held)) return;
    const box = [Math.min(...boxes.map((b) => b[0])), Math.min(...boxes.map((b) => b[1])), Math.max(...boxes.map((b) => b[2])), Math.max(...boxes.map((b) => b[3]))];
    const mid = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
    this.handle("left", box, [box[0], mid[1]], 0, -1);
    this.handle("right", box, [box[2], mid[1]], 0, 1);
    this.handle("bottom", box, [mid[0], box[1]], 1, -1);
    this.handle("top", box, [mid[0], box[3]], 1, 1);
  }

  handle(side, box, at, axis, sign) {
    // Handles stand off the edge, so that those of a small piece do not lie on each other.
    const off = sign * 20;
    const edge = [this.x(at[0]), this.y(at[1])];
    const spot = { cx: edge[0] + (axis ? 0 : off), cy: edge[1] - (axis ? off : 0) };
    this.layer.append(svgEl("line", { x1: edge[0], y1: edge[1], x2: spot.cx, y2: spot.cy, class: "lead" }));
    const grab = svgEl("circle", { ...spot, r: this.reach, class: "grab", tabindex: 0, role: "slider", "data-side": side, "aria-label": `${side} edge of the piece in hand`, "aria-valuenow": 0, "aria-valuetext": "not moved" });
    const grip = svgEl("circle", { ...spot, r: 7, class: "grip" });
    let from = null, by = 0;
    const moved = (to) => {
      by = grained(to);
      const shift = sign * by * this.touch.scale;
      for (const c of [grab, grip]) { c.setAttribute(axis ? "cy" : "cx", axis ? spot.cy - shift : spot.cx + shift); }
      const next = [...box];
      next[{ left: 0, bottom: 1, right: 2, top: 3 }[side]] += sign * by;
      this.layer.querySelectorAll(".new").forEach((n) => n.remove());
      if (next[2] > next[0] && next[3] > next[1]) this.box(next, "new");
      const words = by ? `${side} ${by > 0 ? "out" : "in"} ${tape(Math.abs(by))}` : "not moved";
      grab.setAttribute("aria-valuetext", words);
      grab.setAttribute("aria-valuenow", by);
      this.calls.say(words);
      clearTimeout(this.resting);
      if (by) this.resting = setTimeout(() => this.calls.dragged(this.held, side, by), 90);
    };
    grab.addEventListener("pointerdown", (event) => { event.preventDefault(); grab.setPointerCapture(event.pointerId); from = this.place(event); });
    grab.addEventListener("pointermove", (event) => { if (from) moved(sign * (this.place(event)[axis] - from[axis])); });
    grab.addEventListener("pointerup", () => { if (from) { from = null; if (by) this.calls.extended(this.held, side, by); else this.redraw(); } });
    grab.addEventListener("pointercancel", () => { from = null; this.redraw(); });
    grab.addEventListener("keydown", (event) => {
      const ways = axis ? { ArrowUp: 1, ArrowDown: -1 } : { ArrowRight: 1, ArrowLeft: -1 };
      if (event.key in ways) { event.preventDefault(); moved(by + sign * ways[event.key] * (event.shiftKey ? 1 : 1 / 16)); }
      if (event.key === "Enter" && by) { event.preventDefault(); this.calls.extended(this.held, side, by); }
      if (event.key === "Escape") this.redraw();
    });
    this.layer.append(grab, grip);
  }
}
