// Questions that a tap asks: a reading, damage, a photo, a new piece, a choice of two.
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

export function askReading(place, pile) {
  const percent = el("input", { inputmode: "decimal", required: true, autocomplete: "off" });
  const piece = el("select", {}, ...pile.map(([id, title]) => el("option", { value: id }, title)), el("option", { value: "" }, "not said"));
  const note = el("input", { maxlength: 2000 });
  return question(`Reading at ${place}`, "Write it down", [field("Percent", percent), field("In which piece", piece), field("Note", note)], () => {
    const value = Number(percent.value.replace(",", "."));
    if (!percent.value.trim() || !(value >= 0 && value <= 100)) throw new Error("A percentage from 0 to 100.");
    const now = new Date();
    const date = `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, "0")}-${String(now.getDate()).padStart(2, "0")}`;
    return { percent: value, piece: piece.value || null, note: note.value.trim(), date };
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

export function askPiece(size, pieces) {
  const title = el("input", { maxlength: 200, required: true });
  const sheet = el("select", {}, ...[["sheds", "sheds water (metal, siding, shingle)"], ["resists", "resists water (barrier sheet, felt)"], ["absorbs", "soaks up water (wood, board)"], ["open", "lets water through"]].map(([v, w]) => el("option", { value: v }, w)));
  const after = el("select", {}, el("option", { value: "" }, "on the very outside"), ...pieces.toReversed().map((p) => el("option", { value: p.id }, `right outside ${p.title}`)));
  return question(`New piece, ${size}`, "Lay it", [field("What it is", title), field("What it does with water", sheet), field("Where in the order of laying", after)], () => {
    if (!title.value.trim()) throw new Error("Say what it is.");
    return { title: title.value.trim(), sheet: sheet.value, after: after.value || null };
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
