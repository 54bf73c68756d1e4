import { svgEl } from "./make.js";
import { grained, tape } from "./tape.js";

// The line along which the section is cut, moved by its foot.
export function cutLine(board) {
  const [u0, v0, u1, v1] = board.touch.box;
  const [top, foot] = [board.y(v1) - 14, board.y(v0) + 14];
  const line = svgEl("line", { x1: board.x(board.cut), x2: board.x(board.cut), y1: top, y2: foot, class: "cutline" });
  const grab = svgEl("circle", { cx: board.x(board.cut), cy: foot, r: board.reach, class: "cutgrab", tabindex: 0, role: "slider", "aria-label": "Cut line of the section", "aria-valuemin": 0, "aria-valuemax": u1 - u0, "data-side": "cut" });
  const mark = svgEl("path", { class: "cutfoot" });
  const put = (u) => {
    const at = Math.min(u1 - 1 / 16, Math.max(u0 + 1 / 16, grained(u)));
    line.setAttribute("x1", board.x(at));
    line.setAttribute("x2", board.x(at));
    grab.setAttribute("cx", board.x(at));
    mark.setAttribute("d", `M${board.x(at)} ${foot - 8}l8 8l-8 8l-8 -8z`);
    grab.setAttribute("aria-valuenow", at - u0);
    grab.setAttribute("aria-valuetext", `${tape(at - u0)} from the left`);
    board.cut = at;
  };
  put(board.cut);
  let from = null;
  grab.addEventListener("pointerdown", (event) => { event.preventDefault(); grab.setPointerCapture(event.pointerId); from = board.place(event)[0] - board.cut; });
  grab.addEventListener("pointermove", (event) => { if (from === null) return; put(board.place(event)[0] - from); board.calls.say(`Cut at ${tape(board.cut - u0)} from the left`); board.calls.cutting(board.cut); });
  grab.addEventListener("pointerup", () => { if (from !== null) { from = null; board.calls.cut(board.cut); } });
  grab.addEventListener("pointercancel", () => { from = null; board.calls.cut(board.cut); });
  grab.addEventListener("keydown", (event) => {
    const ways = { ArrowRight: 1, ArrowLeft: -1 };
    if (!(event.key in ways)) return;
    event.preventDefault();
    put(board.cut + ways[event.key] * (event.shiftKey ? 1 : 1 / 16));
    board.calls.cut(board.cut);
  });
  board.layer.append(line, grab, mark);
}
