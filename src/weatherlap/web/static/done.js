// Work done: each task of the plan with its ticks and photos.
import { ask, Away, newKey } from "./ask.js";
import { askStepPhoto, askTick } from "./dialogs.js";
import { el, fill } from "./make.js";
import { Outbox, write } from "./outbox.js";

const $ = (id) => document.getElementById(id);
const sheet = { told: JSON.parse($("begins").textContent) };
const outbox = new Outbox(sheet.told.job, { shown: () => show(), after: () => look() });
const WAITS = "No signal: kept on this device and sent later.";

function say(words, wrong = false) {
  $("said").textContent = words;
  $("said").classList.toggle("wrong", wrong);
}

const hours = (h) => `${Math.round(h * 100) / 100} h`;

function show() {
  const { tasks, lost } = sheet.told;
  const sum = (rows, key) => rows.reduce((all, t) => all + t[key], 0);
  const finished = tasks.filter((t) => t.finished);
  $("sum").textContent = `${finished.length} of ${tasks.length} tasks done, ${hours(sum(tasks, "spent"))} spent of ${hours(sum(tasks, "hours"))} planned.`;
  const left = tasks.filter((t) => !t.finished).map(row);
  fill($("left"), left.length ? left : [el("li", {}, "Everything is ticked.")]);
  fill($("finished"), finished.map(row), lost.map((d) => el("li", { class: "lapline" }, el("span", {}, `${d.day}: ${d.task}, which is no task of the plan any more`), strike(d, d.task))));
  $("finished-box").hidden = !finished.length && !lost.length;
  $("undo").disabled = !sheet.told.can_undo;
}

function strike(tick, what) {
  return el("button", { type: "button", "aria-label": `Strike out: ${tick.day}, ${what}`, on: { click: () => put({ do: "strike", kind: "done", number: tick.number }, `${what}: tick struck out`) } }, "Strike out");
}

function row(t) {
  const names = t.hands.map((h) => h.name).join(", ");
  const waits = outbox.mine.filter((e) => e.body?.act?.task === t.id || e.fields?.step === t.id).length;
  return el("li", { class: "taskrow", "data-task": t.id },
    el("div", {}, el("b", {}, `${t.number}. ${t.text}`), el("br"),
      el("span", { class: "small" }, `Planned ${t.planned}${names ? `, ${names}` : ""}: ${hours(t.hours)} of one person.${t.ticks.length ? ` Spent ${hours(t.spent)}.` : ""}${waits ? ` ${waits} waiting to be sent.` : ""}`)),
    ...t.ticks.map((d) => el("div", { class: "lapline" },
      el("span", {}, [`${d.day}: ${hours(d.hours)}`, d.who, d.finished ? "" : "not done yet", d.note].filter(Boolean).join(", ")), strike(d, t.text))),
    t.photos.length ? el("div", { class: "small" }, `Photos: ${t.photos.join("; ")}`) : null,
    el("div", { class: "hold" },
      el("button", { type: "button", class: t.finished ? "" : "strong", "aria-label": `${t.finished ? "More hours" : "Tick"}: ${t.text}`, on: { click: () => tick(t) } }, t.finished ? "More hours" : "Tick"),
      el("button", { type: "button", "aria-label": `Photo of it: ${t.text}`, on: { click: () => photo(t) } }, "Photo of it")));
}

async function tick(t) {
  const got = await askTick(t, sheet.told.crew);
  if (got) await put({ do: "tick", task: t.id, ...got }, `${t.text}: ${hours(got.hours)}`);
}

async function photo(t) {
  const got = await askStepPhoto(t, sheet.told.faces);
  if (!got) return;
  const fields = { step: t.id, face: got.face, words: got.words, key: newKey() };
  await outbox.keep({ kind: "photo", photo: got.photo, fields, words: `Photo of: ${t.text}` });
  say(WAITS);
  await outbox.flush();
}

async function put(act, words) {
  try {
    const answer = await write(outbox, sheet.told.revision, act, words);
    if (!answer) return say(WAITS);
    await look();
    say(`${words}. Written down.${answer.with_others ? " What somebody else did in between is kept too." : ""}`);
    $("left-head").focus({ preventScroll: true });
  } catch (error) {
    say(error.message, true);
  }
}

// The sheet as the server has it now.
async function look() {
  try {
    let told = await ask(`/api/jobs/${outbox.job}/done`);
    while (!told.ready) told = await ask(`/api/jobs/${outbox.job}/done`);
    sheet.told = told;
    show();
    say("");
  } catch (error) {
    if (!(error instanceof Away)) say(error.message, true);
  }
}

$("undo").addEventListener("click", async () => {
  try {
    await ask(`/api/jobs/${outbox.job}/undo`, { method: "POST", body: { bare: true } });
    await look();
    say("Undone.");
  } catch (error) {
    say(error.message, true);
  }
});
show();
outbox.show().then(() => outbox.flush());
