// The lists beside the drawing: findings, pieces, changes, notes, where to open next.
import { ask } from "./ask.js";
import { el, fill } from "./make.js";
import { tape } from "./tape.js";

export function showLists(desk) {
  const { said } = desk;
  const verdict = document.getElementById("verdict");
  verdict.textContent = said.verdict;
  verdict.classList.toggle("clean", said.clean);
  showFindings(desk);
  showPieces(desk);
  showChanges(desk);
}

function showFindings(desk) {
  const rows = desk.said.findings.map((f) => {
    const told = el("div", { class: "told", hidden: true });
    const button = el("button", { type: "button", "aria-expanded": "false", "data-letter": f.letter, on: { click: () => desk.letter(f.letter) } },
      el("span", { class: "ring" }, f.letter), el("b", {}, f.title), el("span", {}), el("span", { class: "small" }, `${f.place}; ${f.per_year} a year`));
    return el("li", {}, button, told);
  });
  if (!rows.length) rows.push(el("li", {}, "None: the water runs off clear."));
  if (desk.said.findings_left) rows.push(el("li", { class: "small" }, `${desk.said.findings_left} smaller ones are in the trace.`));
  fill(document.getElementById("findings"), rows);
  if (desk.said.findings.some((f) => f.letter === desk.opened)) openFinding(desk, desk.opened, false);
  else desk.opened = null;
}

// Shows all about a finding under its row; it stays open when the list is drawn again.
export async function openFinding(desk, letter, moves = true) {
  desk.opened = letter;
  for (const button of document.querySelectorAll("#findings button")) {
    const here = button.dataset.letter === letter;
    button.setAttribute("aria-expanded", String(here));
    const told = button.nextElementSibling;
    told.hidden = !here;
    if (!here) continue;
    if (moves) button.scrollIntoView({ block: "nearest" });
    if (told.childElementCount) continue;
    try {
      const more = await ask(`/api/jobs/${desk.job}/findings/${letter}?state=${desk.said.state}`);
      fill(told, el("p", {}, more.text), el("p", {}, `It carries ${more.flow}`), more.reaches ? el("p", {}, more.reaches) : null, el("p", {}, more.look),
        el("div", { class: "hold" }, ...more.pieces.map((p) => el("button", { type: "button", on: { click: () => desk.hold(p) } }, desk.titleOf(p)))));
    } catch (error) {
      told.textContent = error.message;
    }
  }
}

function showPieces(desk) {
  fill(document.getElementById("pieces"), desk.said.pieces.map((p) => el("li", {},
    el("button", { type: "button", "aria-pressed": String(desk.board.held === p.id), on: { click: () => desk.hold(p.id) } }, p.title))));
}

function showChanges(desk) {
  const rows = desk.said.changes.map((c) => el("li", { class: "lapline" },
    el("span", {}, `${c.number + 1}. ${c.text}`, c.why ? el("span", { class: "small" }, ` ${c.why}`) : ""),
    el("button", { type: "button", "aria-label": `Strike out: change ${c.number + 1}`, on: { click: () => desk.act({ do: "strike", kind: "change", number: c.number }) } }, "Strike out")));
  if (!rows.length) rows.push(el("li", {}, "None yet. Add one here, or show the corner as repaired and do it to a piece."));
  rows.push(el("li", { class: "hold" }, el("button", { type: "button", on: { click: () => desk.addChange() } }, "Add a change")));
  fill(document.getElementById("changes"), rows);
}

export function showNotes(desk, photos) {
  const { readings, damages } = desk.touch;
  const strike = (kind, number) => el("button", { type: "button", "aria-label": `Strike out: ${kind} ${number + 1}`, on: { click: () => desk.act({ do: "strike", kind, number }) } }, "Strike out");
  const spot = (at) => `${tape(at[0] - desk.touch.box[0])} right, ${tape(at[1] - desk.touch.box[1])} up`;
  fill(document.getElementById("note-body"),
    el("h3", {}, "On this face"),
    ...readings.map((r) => el("div", { class: "lapline" }, el("span", {}, `${r.percent} % at ${spot(r.at)}${r.date ? `, ${r.date}` : ""}${r.note ? `. ${r.note}` : ""}`), strike("reading", r.number))),
    ...desk.picksHere().map((p) => el("div", { class: "lapline" }, el("span", {}, `Awl in ${desk.titleOf(p.piece)}: ${p.says}, at ${spot(p.at)}${p.date ? `, ${p.date}` : ""}`), strike("pick", p.number))),
    ...damages.map((d) => el("div", { class: "lapline" }, el("span", {}, `${d.text} (${spot(d.at)})`), strike("damage", d.number))),
    readings.length + damages.length + desk.picksHere().length ? null : el("p", { class: "small" }, "No reading, no damage, and no awl pushed in yet."),
    el("h3", {}, "Photos of the job"),
    photos.length ? el("div", { class: "shots" }, ...photos.map((p) => el("button", { type: "button", "aria-label": `Photo${p.words ? `: ${p.words}` : ""}, open to mark it`, on: { click: () => desk.openPhoto(p) } }, el("img", { src: `/api/photos/${p.id}?wide=320`, alt: "", loading: "lazy" })))) : el("p", { class: "small" }, "None yet. Choose \u201cputs a photo\u201d and tap the place."));
}

export async function showNext(desk) {
  const box = document.getElementById("next-body");
  try {
    const opened = await ask(`/api/jobs/${desk.job}/open-next`);
    fill(box, el("p", {}, opened.text), el("ol", {}, ...opened.looks.map((look) => el("li", {}, el("b", {}, look.do), el("p", {}, `Wet: ${look.wet_means}`), el("p", {}, `Dry: ${look.dry_means}`)))));
  } catch (error) {
    box.textContent = error.message;
  }
}

// What an act does, in a few words, for the list of what waits.
export function wordsOf(act, titleOf) {
  const piece = act.piece ? titleOf(act.piece) : "";
  const said = {
    turn: () => `${piece} laid over ${titleOf(act.over)}`,
    seal: () => `${act.edge} of ${piece} sealed`,
    unseal: () => `${act.edge} of ${piece} unsealed`,
    "take-away": () => `${piece} taken away`,
    drip: () => `drip edge of ${piece}`,
    extend: () => `${act.side} of ${piece} moved by ${tape(act.by)}`,
    lay: () => `new piece: ${act.title || act.what}`,
    reading: () => `${act.percent} % on the ${act.face}`,
    damage: () => `damage on the ${act.face}: ${act.text}`,
    pick: () => `awl in ${piece}: ${act.says}`,
    "add-changes": () => `${act.changes.length === 1 ? "a change" : `${act.changes.length} changes`} to ${titleOf(act.changes[0].piece)}`,
    "lay-mend": () => `the mend's ${act.changes.length} changes`,
    strike: () => `${act.kind} ${act.number + 1} struck out`,
  };
  return (said[act.do] ?? (() => act.do))();
}
