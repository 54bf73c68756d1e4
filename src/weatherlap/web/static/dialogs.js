// Questions that a tap asks: a reading, damage, a photo, a new piece, a choice of two.
import { ask } from "./ask.js";
import { el, fill } from "./make.js";

const $ = (id) => document.getElementById(id);

// Opens the dialog with some fields; gives what `read` makes of them, or null if it is left.
function question(head, yes, fields, read) {
  const dialog = $("ask");
  $("ask-head").textContent = head;
  $("ask-yes").textContent = yes;
  $("ask-problems").textContent = "";
  fill($("ask-body"), fields);
  return new Promise((done) => {
    const end = (got) => {
      $("ask-form").removeEventListener("submit", submit);
      $("ask-no").removeEventListener("click", leave);
      dialog.removeEventListener("cancel", leave);
      if (dialog.open) dialog.close();
      done(got);
    };
    const submit = (event) => {
      event.preventDefault();
      try { end(read()); } catch (error) { $("ask-problems").textContent = error.message; }
    };
    const leave = () => end(null);
    $("ask-form").addEventListener("submit", submit);
    $("ask-no").addEventListener("click", leave);
    dialog.addEventListener("cancel", leave);
    dialog.showModal();
    $("ask-body").querySelector("input, textarea, select")?.focus();
  });
}

const field = (words, input) => el("label", {}, words, input);

// The day by this device's clock, as the job file writes it.
function today() {
  const now = new Date();
  return `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, "0")}-${String(now.getDate()).padStart(2, "0")}`;
}

export function askReading(place, pile) {
  const percent = el("input", { inputmode: "decimal", required: true, autocomplete: "off" });
  const piece = el("select", {}, ...pile.map(([id, title]) => el("option", { value: id }, title)), el("option", { value: "" }, "not said"));
  const note = el("input", { maxlength: 2000 });
  return question(`Reading at ${place}`, "Write it down", [field("Percent", percent), field("In which piece", piece), field("Note", note)], () => {
    const value = Number(percent.value.replace(",", "."));
    if (!percent.value.trim() || !(value >= 0 && value <= 100)) throw new Error("A percentage from 0 to 100.");
    return { percent: value, piece: piece.value || null, note: note.value.trim(), date: today() };
  });
}

export function askDamage(place) {
  const text = el("textarea", { rows: 3, maxlength: 2000, required: true });
  return question(`Damage at ${place}`, "Write it down", [field("What you see", text)], () => {
    if (!text.value.trim()) throw new Error("Say what you see.");
    return { text: text.value.trim() };
  });
}

export function askPhoto(place) {
  const photo = el("input", { type: "file", accept: "image/*", capture: "environment", required: true });
  const words = el("input", { maxlength: 500 });
  return question(`Photo at ${place}`, "Keep it", [field("Photo", photo), field("What it shows", words)], () => {
    if (!photo.files.length) throw new Error("Take or choose a photo.");
    return { photo: photo.files[0], words: words.value.trim() };
  });
}

// The place of a new piece by its sizes, for who does not draw: left, bottom, width, height.
export function askSizes(read) {
  const ids = ["From the left", "From the bottom", "Width", "Height"];
  const inputs = ids.map(() => el("input", { inputmode: "text", autocomplete: "off", required: true, placeholder: "12 1/2" }));
  return question("New piece by its sizes", "Go on", ids.map((words, n) => field(`${words}, as your tape reads`, inputs[n])), () => {
    const [left, bottom, wide, high] = inputs.map((input, n) => {
      const value = read(input.value);
      if (!Number.isFinite(value) || (n > 1 && value < 1 / 16)) throw new Error(`${ids[n]}: a length as 12' 4 1/2".`);
      return value;
    });
    return { left, bottom, wide, high };
  });
}

let stuff = null;
// The catalogue, asked for once; without a signal a piece can still be laid without its entry.
async function catalogue() {
  try { stuff ??= await ask("/api/catalogue"); } catch { return []; }
  return stuff;
}

const WATER = [["sheds", "sheds water (metal, siding, shingle)"], ["resists", "resists water (barrier sheet, felt)"], ["absorbs", "soaks up water (wood, board)"], ["open", "lets water through"]];

function entrySelect(entries, none) {
  const groups = Map.groupBy ? Map.groupBy(entries, (e) => e.role) : grouped(entries);
  return el("select", {}, el("option", { value: "" }, none), ...[...groups].map(([role, rows]) => el("optgroup", { label: role }, ...rows.map((e) => el("option", { value: e.id }, e.name)))));
}

function grouped(entries) {
  const groups = new Map();
  for (const e of entries) groups.set(e.role, [...(groups.get(e.role) ?? []), e]);
  return groups;
}

function sheetSelect(first) {
  return el("select", {}, ...(first ? [el("option", { value: "" }, first)] : []), ...WATER.map(([v, w]) => el("option", { value: v }, w)));
}

export async function askPiece(size, pieces) {
  const entries = await catalogue();
  const title = el("input", { maxlength: 200 });
  const what = entrySelect(entries, "not in this list");
  const sheet = sheetSelect("as its kind does");
  const after = el("select", {}, el("option", { value: "" }, "on the very outside"), ...pieces.toReversed().map((p) => el("option", { value: p.id }, `right outside ${p.title}`)));
  const fields = [field("What it is made of", what), field("Its name on the drawing", title), field("What it does with water", sheet), field("Where in the order of laying", after)];
  return question(`New piece, ${size}`, "Lay it", fields, () => {
    if (!title.value.trim() && !what.value) throw new Error("Say what it is: choose it from the list, or give it a name.");
    if (!what.value && !sheet.value) throw new Error("It is not in the list: say what it does with water.");
    return { title: title.value.trim(), what: what.value || null, sheet: sheet.value || null, after: after.value || null };
  });
}

export function askAwl(place, pile) {
  const piece = el("select", { required: true }, ...pile.map(([id, title]) => el("option", { value: id }, title)));
  const says = [["firm", "firm"], ["soft", "soft"], ["rotten", "rotten"]].map(([value, words]) => el("label", { class: "pick" }, el("input", { type: "radio", name: "says", value, required: true }), words));
  return question(`Awl at ${place}`, "Write it down", [field("Into which piece", piece), el("fieldset", { class: "plain" }, el("legend", {}, "What it says"), ...says)], () => {
    const chosen = $("ask-form").querySelector("input[name=says]:checked");
    if (!piece.value) throw new Error("Nothing lies here: tap a piece.");
    if (!chosen) throw new Error("Firm, soft or rotten.");
    return { piece: piece.value, says: chosen.value, date: today() };
  });
}

export function askTick(task, crew) {
  const left = Math.max(0, task.hours - task.spent) / Math.max(1, task.hands.length);
  const day = el("input", { type: "date", value: today(), max: today(), required: true });
  const hours = el("input", { inputmode: "decimal", autocomplete: "off", required: true, value: left ? Math.max(0.25, Math.round(left * 4) / 4) : "" });
  const person = el("select", {}, ...crew.map((p) => el("option", { value: p.id, selected: p.id === task.hands[0]?.id }, p.name)), el("option", { value: "" }, "not said"));
  const finished = el("input", { type: "checkbox", checked: true });
  const note = el("input", { maxlength: 1000 });
  const fields = [field("Day", day), field("Hours", hours), crew.length ? field("Who", person) : null,
    el("label", { class: "pick" }, finished, "The task is done with this"), field("Anything worth knowing next time", note)];
  return question(task.text, "Tick it", fields, () => {
    const value = Number(hours.value.replace(",", "."));
    if (!hours.value.trim() || !(value >= 0 && value <= 24)) throw new Error("Hours of one person on that day, from 0 to 24.");
    if (!day.value) throw new Error("Say on which day.");
    return { day: day.value, hours: value, person: person.value || null, finished: finished.checked, note: note.value.trim() };
  });
}

export function askStepPhoto(task, faces) {
  const photo = el("input", { type: "file", accept: "image/*", capture: "environment", required: true });
  const face = el("select", {}, el("option", { value: "" }, "none in particular"), ...faces.map((f) => el("option", { value: f.id }, f.title)));
  const words = el("input", { maxlength: 500 });
  return question(`Photo of: ${task.text}`, "Keep it", [field("Photo", photo), field("Face", face), field("What it shows", words)], () => {
    if (!photo.files.length) throw new Error("Take or choose a photo.");
    return { photo: photo.files[0], face: face.value, words: words.value.trim() };
  });
}

const CHANGES = [
  ["take-away", "take a piece away for good", []], ["replace", "replace a piece by a new one", ["what", "title", "sheet"]],
  ["reuse", "take a piece off and put it back", []], ["turn", "lay a piece over another one", ["over"]],
  ["extend", "move an edge", ["face", "side", "by"]], ["seal", "seal an edge", ["edge"]], ["unseal", "unseal an edge", ["edge"]],
  ["drip", "bend a drip edge", []], ["open-end", "open the dammed end of a trough", ["face", "end"]],
];

// A change as the job file has it; a new piece is drawn instead.
export async function askChange(pieces, faces) {
  const entries = await catalogue();
  const choose = (rows, first) => el("select", {}, ...(first ? [el("option", { value: "" }, first)] : []), ...rows.map(([v, w]) => el("option", { value: v }, w)));
  const titles = pieces.toReversed().map((p) => [p.id, p.title]);
  const kind = choose(CHANGES);
  const piece = choose(titles);
  const parts = {
    over: ["Over which piece", choose(titles)], face: ["On which face", choose(faces.map((f) => [f.id, f.title]))],
    side: ["Which edge", choose([["top", "top"], ["bottom", "bottom"], ["left", "left"], ["right", "right"]])],
    by: ["How far; with a minus it is trimmed", el("input", { placeholder: "1 1/2", autocomplete: "off" })],
    edge: ["Which edge", choose([["top", "top"], ["bottom", "bottom"]])], end: ["Which end", choose([["start", "where it starts"], ["end", "where it ends"]])],
    what: ["By what", entrySelect(entries, "the same stuff")], title: ["Name of the new piece", el("input", { maxlength: 200 })],
    sheet: ["What the new one does with water", sheetSelect("as its kind does")],
  };
  const rows = Object.fromEntries(Object.entries(parts).map(([name, [words, input]]) => [name, field(words, input)]));
  const why = el("input", { maxlength: 500 });
  const used = () => CHANGES.find(([name]) => name === kind.value)[2];
  const show = () => {
    for (const [name, row] of Object.entries(rows)) row.hidden = !used().includes(name);
    const own = pieces.find((p) => p.id === piece.value)?.faces ?? [];
    for (const option of parts.face[1].options) option.hidden = option.disabled = !own.includes(option.value);
    if (!own.includes(parts.face[1].value)) parts.face[1].value = own[0] ?? "";
  };
  kind.addEventListener("change", show);
  piece.addEventListener("change", show);
  show();
  return question("One more change", "Add it", [field("What is done", kind), field("To which piece", piece), ...Object.values(rows), field("Why", why)], () => {
    const change = { do: kind.value, piece: piece.value };
    for (const name of used()) {
      const value = parts[name][1].value.trim();
      if (value) change[name] = value;
      else if (!["what", "title", "sheet"].includes(name)) throw new Error(`${parts[name][0]}?`);
    }
    if (why.value.trim()) change.why = why.value.trim();
    return change;
  });
}

export function askClash(conflicts) {
  const rows = conflicts.map((c, n) => el("fieldset", { class: "plain" }, el("legend", {}, el("b", {}, c.where), c.found ? ` was ${c.found}` : ""),
    el("label", { class: "pick" }, el("input", { type: "radio", name: `side-${n}`, value: "mine", required: true }), `Yours: ${c.mine || "not there"}`),
    el("label", { class: "pick" }, el("input", { type: "radio", name: `side-${n}`, value: "theirs" }), `Theirs: ${c.theirs || "not there"}`)));
  return question("Two people changed the same thing", "Keep these", rows, () => {
    const chosen = {};
    conflicts.forEach((c, n) => {
      const side = $("ask-form").querySelector(`input[name="side-${n}"]:checked`);
      if (!side) throw new Error("Choose one of each.");
      chosen[c.key] = side.value;
    });
    return chosen;
  });
}

// An entry that waited and cannot be kept: true where it is to be thrown away.
export function askGone(words, why) {
  return question("This cannot be kept", "Throw it away", [el("p", {}, el("b", {}, words)), el("p", {}, why)], () => true);
}
