// The piece in hand: what it is, what can be done to it, and the laps it makes on this face.
import { el, fill } from "./make.js";
import { tape } from "./tape.js";

const DOES = { sheds: "sheds water", resists: "resists water", absorbs: "soaks up water", open: "lets water through" };
const STEPS = [1 / 16, 1 / 4, 1];

export function showHand(desk, id, pile = []) {
  const box = document.getElementById("hand");
  const piece = desk.said.pieces.find((p) => p.id === id);
  box.hidden = !piece;
  if (!piece) return;
  document.getElementById("hand-head").textContent = piece.title;
  const titles = Object.fromEntries(desk.said.pieces.map((p) => [p.id, p.title]));
  fill(document.getElementById("hand-body"),
    el("p", { class: "small" }, `${DOES[piece.sheet]}; on ${piece.faces.length || "no"} face${piece.faces.length === 1 ? "" : "s"}.`, piece.keep ? " The client keeps it as it is." : ""),
    pileRow(desk, id, pile, titles),
    edgeRow(desk, piece),
    desk.movable(id) ? sideRows(desk, piece) : null,
    lapRows(desk, id, titles));
}

// What can be done next with the piece in hand, the likeliest first.
export function likelyActs(desk, id) {
  const piece = desk.said.pieces.find((p) => p.id === id);
  if (!piece) return [];
  const turned = lapsOf(desk, id).map((l) => ({ do: "turn", piece: l.inner, over: l.outer }));
  const edge = (name, sealed) => ({ do: sealed ? "unseal" : "seal", piece: id, edge: name });
  return [...turned.slice(0, 4), edge("top", piece.sealed_top), edge("bottom", piece.sealed_bottom),
    { do: "drip", piece: id }, { do: "take-away", piece: id }, ...turned.slice(4)].slice(0, 16);
}

function lapsOf(desk, id) {
  const seen = new Set();
  return desk.board.touch.laps.filter((l) => (l.outer === id || l.inner === id) && !seen.has(`${l.outer} ${l.inner}`) && seen.add(`${l.outer} ${l.inner}`));
}

function pileRow(desk, id, pile, titles) {
  const others = pile.filter((p) => p !== id);
  if (!others.length) return null;
  return el("div", { class: "hold" }, el("span", { class: "small" }, "Also here: "),
    ...others.map((p) => el("button", { type: "button", on: { click: () => desk.hold(p, pile) } }, titles[p])));
}

function edgeRow(desk, piece) {
  const edge = (name, sealed) => el("button", { type: "button", "aria-pressed": String(sealed), on: { click: () => desk.act({ do: sealed ? "unseal" : "seal", piece: piece.id, edge: name }) } }, `${name === "top" ? "Top" : "Bottom"} ${sealed ? "sealed" : "open"}`);
  const lifted = desk.lifted.has(piece.id);
  return el("div", { class: "hold" },
    edge("top", piece.sealed_top),
    edge("bottom", piece.sealed_bottom),
    el("button", { type: "button", "aria-pressed": String(piece.drip), disabled: piece.drip && desk.state !== "found", on: { click: () => desk.act({ do: "drip", piece: piece.id }) } }, piece.drip ? "Has a drip edge" : "No drip edge"),
    el("button", { type: "button", "aria-pressed": String(lifted), on: { click: () => desk.lift(piece.id) } }, lifted ? "Lay it back on the drawing" : "Look behind it"),
    el("button", { type: "button", on: { click: () => desk.act({ do: "take-away", piece: piece.id }) } }, "Take it away"));
}

function sideRows(desk, piece) {
  const row = (side) => el("div", { class: "hold" }, el("span", {}, `${side[0].toUpperCase()}${side.slice(1)} edge`),
    ...STEPS.toReversed().map((s) => step(desk, piece, side, -s)), ...STEPS.map((s) => step(desk, piece, side, s)));
  return el("details", {}, el("summary", {}, "Move an edge"), ...["top", "bottom", "left", "right"].map(row));
}

function step(desk, piece, side, by) {
  const words = `${by > 0 ? "+" : "\u2212"}${tape(Math.abs(by))}`;
  return el("button", { type: "button", "aria-label": `${words}: ${side} edge ${by > 0 ? "out" : "in"}`, on: { click: () => desk.extend(piece.id, side, by) } }, words);
}

function lapRows(desk, id, titles) {
  const laps = lapsOf(desk, id);
  if (!laps.length) return el("p", { class: "small" }, "No lap to turn on this face.");
  const rows = laps.map((l) => {
    const other = l.outer === id ? l.inner : l.outer;
    const words = `${l.outer === id ? "Lies over" : "Lies behind"} ${titles[other]}, ${l.kind === "head" ? `${tape(l.height)} high` : `${tape(l.length)} wide`}.`;
    const wrong = l.kind === "head" && !l.right_way;
    return el("div", { class: "lapline" }, el("span", {}, words, wrong ? el("span", { class: "wrongway" }, " Sheds inward: the upper one lies behind.") : ""),
      el("button", { type: "button", "aria-label": `Turn round: the lap with ${titles[other]}`, on: { click: () => desk.act({ do: "turn", piece: l.inner, over: l.outer }) } }, "Turn round"));
  });
  return el("div", {}, el("h3", {}, "Laps on this face"), ...rows);
}
