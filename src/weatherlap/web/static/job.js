// One job: the drawing that is touched, and all that follows from a tap.
import { ask, Away, newKey, Refused } from "./ask.js";
import { Board } from "./board.js";
import { askAwl, askChange, askClash, askDamage, askPhoto, askPiece, askReading, askSizes } from "./dialogs.js";
import { likelyActs, showHand } from "./hand.js";
import { openFinding, showLists, showNext, showNotes, wordsOf } from "./lists.js";
import { el, fill, svgEl } from "./make.js";
import { markPhoto } from "./photo.js";
import { Outbox } from "./outbox.js";
import { Solid } from "./solid.js";
import { inches, tape } from "./tape.js";
import { drawOther, drawSection, drawSolid } from "./views.js";

const $ = (id) => document.getElementById(id);
const begins = JSON.parse($("begins").textContent);

class Desk {
  constructor() {
    this.job = begins.job;
    this.said = begins.said;
    this.state = "found";
    this.both = false;
    this.lifted = new Set();
    this.opened = null;
    this.turn = 0;
    this.pile = [];
    this.photos = [];
    this.busy = Promise.resolve();
    this.board = new Board($("ink"), {
      tapped: (at, pile) => this.tapped(at, pile),
      drawn: (shape) => this.layNew(shape),
      cut: (at) => this.moveCut(at),
      cutting: (at) => this.cutting(at),
      letter: (letter) => this.letter(letter),
      extended: (piece, side, by) => this.extend(piece, side, by),
      dragged: (piece, side, by) => this.foresee([{ do: "extend", piece, face: this.touch.face, side, by }]),
      movable: (piece) => this.movable(piece),
      say: (words) => this.say(words),
      extras: (board) => this.extras(board),
    });
    this.outbox = new Outbox(this.job, { shown: () => this.board.redraw(), after: (sent) => this.sentLater(sent) });
    this.solid = new Solid($("solid"), $("apart"));
    this.board.show(begins.board);
  }

  get touch() { return this.board.touch; }
  titleOf(id) { return this.said.pieces.find((p) => p.id === id)?.title ?? id; }
  movable(id) { return this.touch.panels.some((p) => p.piece === id); }

  say(words, wrong = false) {
    $("said").textContent = words;
    $("said").classList.toggle("wrong", wrong);
  }

  // Everything that a new revision, state or face changes on the page.
  show({ job, board }) {
    const faceBefore = this.touch?.face;
    this.said = job;
    this.wanted = board.touch.face;
    if (job.state === "found") this.state = "found";
    for (const id of this.lifted) if (!job.pieces.some((p) => p.id === id)) this.lifted.delete(id);
    if (!job.pieces.some((p) => p.id === this.board.held)) this.board.held = null;
    this.board.show(board);
    $("board-name").textContent = `${board.touch.view}, as ${job.state}`;
    $("title").textContent = job.title;
    $("undo").disabled = !job.can_undo;
    $("redo").disabled = !job.can_redo;
    showLists(this);
    this.showBars();
    showHand(this, this.board.held, this.pile);
    showNotes(this, this.photos);
    this.showCut(faceBefore !== board.touch.face);
    this.later();
  }

  showBars() {
    for (const input of document.querySelectorAll("#states input")) {
      input.disabled = input.value === "beside" && !this.said.has_repaired;
      input.checked = input.value === (this.both ? "beside" : this.state);
    }
    const counts = {};
    for (const f of this.said.findings) (counts[f.face] ??= []).push(f.letter);
    fill($("faces"), el("legend", {}, "Face"), this.said.faces.map((f) => el("label", {},
      el("input", { type: "radio", name: "face", value: f.id, checked: f.id === this.touch.face, on: { change: () => this.look({ face: f.id }) } }),
      f.title, counts[f.id] ? el("span", { class: "small" }, `\u00a0(${counts[f.id].slice(0, 4).join(" ")}${counts[f.id].length > 4 ? " \u2026" : ""})`) : "")));
    for (const link of document.querySelectorAll("a[data-stated]")) {
      const way = new URL(link.href);
      way.searchParams.set("state", this.said.state);
      link.href = way;
    }
  }

  // Slower views follow when the thumb rests.
  later() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      drawSection(this);
      drawSolid(this);
      if (this.both) drawOther(this);
      if ($("next").open) showNext(this);
    }, 150);
  }

  // What was asked for last is shown, whatever comes back first.
  async look({ face = this.touch.face, state = this.state } = {}) {
    const turn = ++this.turn;
    this.wanted = face;
    try {
      if (state === "repaired" && !this.said.has_repaired) {
        this.state = "repaired";
        this.say("Nothing is changed yet: what you do to a piece now is written down as a change.");
        this.showBars();
        return;
      }
      const job = state === this.said.state ? this.said : await ask(`/api/jobs/${this.job}?state=${state}`);
      const without = [...this.lifted].map((p) => `&without=${encodeURIComponent(p)}`).join("");
      const board = await ask(`/api/jobs/${this.job}/board?state=${state}&face=${encodeURIComponent(face)}${without}`);
      if (turn !== this.turn) return;
      this.state = state;
      this.show({ job, board });
    } catch (error) {
      if (turn === this.turn) this.say(error.message, true);
    }
  }

  hold(id, pile = []) {
    this.pile = pile;
    this.board.hold(id);
    showHand(this, id, pile);
    showLists(this);
    const faces = this.said.pieces.find((p) => p.id === id)?.faces ?? [];
    if (id && faces.length && !faces.includes(this.touch.face)) this.look({ face: faces[0] });
    if (!id) return;
    this.foresee(likelyActs(this, id));
    this.say(`In hand: ${this.titleOf(id)}`);
    if (!pile.length) {
      $("hand-head").focus({ preventScroll: true });
      $("hand").scrollIntoView({ block: "nearest" });
    }
  }

  async lift(id) {
    if (!this.lifted.delete(id)) this.lifted.add(id);
    await this.look();
  }

  async letter(letter) {
    const finding = this.said.findings.find((f) => f.letter === letter);
    if (!finding) return;
    if (finding.face !== this.wanted) await this.look({ face: finding.face });
    this.board.point(finding.at);
    $("cut").value = finding.at[0];
    this.showCut(false);
    this.later();
    openFinding(this, letter);
    $("board").scrollIntoView({ block: "nearest" });
  }

  async tapped(at, pile) {
    const face = this.touch.face;
    if (this.board.tool === "hold") {
      this.hold(pile[0] ?? null, pile);
      if (!pile.length) this.say("Nothing lies here.");
      return;
    }
    const place = `${tape(at[0] - this.touch.box[0])} right, ${tape(at[1] - this.touch.box[1])} up`;
    const piece = pile[0] ?? null;
    if (this.board.tool === "meter") {
      const got = await askReading(place, this.titlesOf(pile));
      if (got) this.act({ do: "reading", face, at, ...got });
    } else if (this.board.tool === "damage") {
      const got = await askDamage(place);
      if (got) this.act({ do: "damage", face, at, piece, ...got });
    } else if (this.board.tool === "awl") {
      if (!pile.length) return this.say("Nothing lies here: tap a piece.", true);
      const got = await askAwl(place, this.titlesOf(pile));
      if (got) this.act({ do: "pick", face, at, ...got });
    } else if (this.board.tool === "photo") {
      const got = await askPhoto(place);
      if (got) this.addPhoto(got, face, at);
    }
  }

  titlesOf(pile) { return pile.map((id) => [id, this.titleOf(id)]); }

  // A new piece by its rectangle or its corners.
  async layNew({ rect = null, outline = null }) {
    const us = outline ? outline.map((p) => p[0]) : [rect[0], rect[2]];
    const vs = outline ? outline.map((p) => p[1]) : [rect[1], rect[3]];
    const size = (xs) => tape(Math.max(...xs) - Math.min(...xs));
    const got = await askPiece(`${size(us)} wide, ${size(vs)} high${outline ? `, ${outline.length} corners` : ""}`, this.said.pieces);
    if (!got) return this.board.forget();
    this.board.forget();
    this.act({ do: "lay", face: this.touch.face, rect, outline, ...got });
  }

  async laySizes() {
    const got = await askSizes(inches);
    if (!got) return;
    const [u0, v0] = this.touch.box;
    this.layNew({ rect: [u0 + got.left, v0 + got.bottom, u0 + got.left + got.wide, v0 + got.bottom + got.high] });
  }

  async addChange() {
    const change = await askChange(this.said.pieces, this.said.faces);
    if (change) this.act({ do: "add-changes", changes: [change] });
  }

  picksHere() { return this.said.picks.filter((p) => p.face === this.touch.face); }

  extend(piece, side, by) {
    return this.act({ do: "extend", piece, face: this.touch.face, side, by });
  }

  // Lets the server work out what may come next while the thumb decides; nothing hangs on it.
  foresee(acts) {
    if (!acts.length) return;
    const body = { base: this.said.revision, acts, state: this.state, face: this.touch.face };
    ask(`/api/jobs/${this.job}/likely`, { method: "POST", body }).catch(() => {});
  }

  // One act after another: each is made on what the one before gave.
  act(act) {
    this.busy = this.busy.then(() => this.send(act));
    return this.busy;
  }

  async send(act, choices = {}, key = newKey()) {
    const body = { base: this.said.revision, act, state: this.state, face: this.touch.face, key, choices };
    const began = performance.now();
    try {
      const answer = await ask(`/api/jobs/${this.job}/acts`, { method: "POST", body });
      this.turn += 1;
      this.show(answer);
      const others = answer.with_others ? " What somebody else did in between is kept too." : "";
      this.say(`${answer.words}.${others}`);
      this.keepPage();
      if (this.board.held) this.foresee(likelyActs(this, this.board.held));
      requestAnimationFrame(() => { document.documentElement.dataset.tapMs = Math.round(performance.now() - began); });
    } catch (error) {
      if (error instanceof Away) {
        await this.outbox.keep({ kind: "act", body, words: wordsOf(act, (id) => this.titleOf(id)) });
        this.say("No signal: kept on this device and sent later. The water is followed then.");
        return;
      }
      if (error instanceof Refused && error.status === 409 && error.conflicts.length) {
        const chosen = await askClash(error.conflicts);
        if (chosen) return this.send(act, chosen, key);
      }
      this.say(error.message, true);
      this.board.redraw();
    }
  }

  async step(way) {
    try {
      this.show(await ask(`/api/jobs/${this.job}/${way}`, { method: "POST", body: { state: this.state, face: this.touch.face } }));
      this.say(way === "undo" ? "Undone." : "Done again.");
    } catch (error) {
      this.say(error.message, true);
    }
  }

  async addPhoto({ photo, words }, face, at) {
    const fields = { face, u: at[0], v: at[1], words, key: newKey() };
    await this.outbox.keep({ kind: "photo", photo, fields, words: words ? `Photo: ${words}` : "Photo" });
    await this.outbox.flush();
  }

  async loadPhotos() {
    try { this.photos = await ask(`/api/jobs/${this.job}/photos`); } catch { return; }
    showNotes(this, this.photos);
    this.board.redraw();
  }

  openPhoto(photo) {
    markPhoto(photo, () => this.loadPhotos());
  }

  // Photos and what waits to be sent, on the drawing.
  extras(board) {
    const face = board.touch.face;
    for (const p of this.photos.filter((q) => q.face === face && q.at)) {
      const mark = svgEl("rect", { x: board.x(p.at[0]) - 9, y: board.y(p.at[1]) - 7, width: 18, height: 14, class: "photo" });
      board.layer.append(mark, svgEl("circle", { cx: board.x(p.at[0]), cy: board.y(p.at[1]), r: 3.5, class: "photo" }));
    }
    for (const p of this.picksHere()) {
      const [x, y] = [board.x(p.at[0]), board.y(p.at[1])];
      board.layer.append(svgEl("path", { d: `M${x} ${y}l-5 -13h10z`, class: `awl ${p.says}` }), svgEl("text", { x: x + 7, y: y - 4 }, p.says));
    }
    for (const entry of this.outbox.mine) {
      const [on, at] = entry.kind === "photo" ? [entry.fields.face, [entry.fields.u, entry.fields.v]] : [entry.body.act.face, entry.body.act.at];
      if (on === face && at) board.layer.append(svgEl("circle", { cx: board.x(at[0]), cy: board.y(at[1]), r: 9, class: "pending" }));
    }
  }

  async sentLater({ photos, acts }) {
    if (photos) { await this.loadPhotos(); this.say("Photo kept."); }
    if (acts) { this.said.state = ""; await this.look(); this.say("What waited was sent."); }
    this.keepPage();
  }

  // Where pages are kept for when there is no signal, this one as it is now.
  keepPage() {
    clearTimeout(this.keeping);
    if (!navigator.serviceWorker?.controller) return;
    this.keeping = setTimeout(() => fetch(location.pathname).catch(() => {}), 1500);
  }

  showCut(newFace) {
    const [u0, , u1] = this.touch.box;
    const cut = $("cut");
    cut.min = u0 + 1 / 16;
    cut.max = u1 - 1 / 16;
    cut.step = 1 / 16;
    if (newFace || !cut.dataset.set) {
      const first = this.said.findings.find((f) => f.face === this.touch.face);
      cut.value = first ? first.at[0] : (u0 + u1) / 2;
      cut.dataset.set = "yes";
    }
    $("cut-at").textContent = tape(Number(cut.value) - u0);
    this.board.cutAt(Number(cut.value));
  }

  // While the thumb moves the cut line, the section follows as fast as it is drawn.
  async cutting(at) {
    $("cut").value = at;
    $("cut-at").textContent = tape(at - this.touch.box[0]);
    if (this.cutBusy) return;
    this.cutBusy = true;
    await drawSection(this);
    this.cutBusy = false;
  }

  moveCut(at) {
    $("cut").value = at;
    this.showCut(false);
    this.later();
  }

  showBoth(both) {
    this.both = both;
    $("other").hidden = !both;
    $("boards").classList.toggle("pair", both);
    if (both) drawOther(this);
  }
}

const desk = new Desk();
desk.show({ job: begins.said, board: begins.board });
if (begins.held) desk.hold(begins.held);
desk.loadPhotos();
desk.outbox.show().then(() => desk.outbox.flush());
if (new URLSearchParams(location.search).get("state") === "repaired") desk.look({ state: "repaired" });

$("undo").addEventListener("click", () => desk.step("undo"));
$("redo").addEventListener("click", () => desk.step("redo"));
$("print").addEventListener("click", () => print());
$("tools").addEventListener("change", (event) => {
  desk.board.use(event.target.value);
  $("laying").hidden = event.target.value !== "lay";
});
$("lay-close").addEventListener("click", () => desk.board.closeOutline());
$("lay-back").addEventListener("click", () => desk.board.lessOutline());
$("lay-sizes").addEventListener("click", () => desk.laySizes());
$("states").addEventListener("change", (event) => {
  const value = event.target.value;
  desk.showBoth(value === "beside");
  desk.look({ state: value === "beside" ? "found" : value });
});
$("cut").addEventListener("input", () => { desk.showCut(false); desk.later(); });
$("next").addEventListener("toggle", () => { if ($("next").open) showNext(desk); });
window.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z" || event.target.matches("input, textarea")) return;
  event.preventDefault();
  desk.step(event.shiftKey ? "redo" : "undo");
});
