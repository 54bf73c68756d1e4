// What was entered without a signal: kept on the phone, sent when the server answers again.
import { ask, Away, Refused } from "./ask.js";

const NAME = "weatherlap";
let opened = null;

function open() {
  opened ??= new Promise((done, failed) => {
    const wish = indexedDB.open(NAME, 1);
    wish.onupgradeneeded = () => wish.result.createObjectStore("waiting", { keyPath: "n", autoIncrement: true });
    wish.onsuccess = () => done(wish.result);
    wish.onerror = () => failed(wish.error);
  });
  return opened;
}

async function inStore(mode, run) {
  const db = await open();
  return new Promise((done, failed) => {
    const step = db.transaction("waiting", mode);
    const wish = run(step.objectStore("waiting"));
    step.oncomplete = () => done(wish.result);
    step.onerror = () => failed(step.error);
    step.onabort = () => failed(step.error);
  });
}

export const keep = (entry) => inStore("readwrite", (s) => s.add(entry));
export const drop = (n) => inStore("readwrite", (s) => s.delete(n));
export const waiting = () => inStore("readonly", (s) => s.getAll());

function send(entry) {
  if (entry.kind === "photo") {
    const form = new FormData();
    form.append("photo", entry.photo, "photo");
    for (const [name, value] of Object.entries(entry.fields)) form.append(name, value);
    return ask(`/api/jobs/${entry.job}/photos`, { method: "POST", form });
  }
  return ask(`/api/jobs/${entry.job}/acts`, { method: "POST", body: entry.body });
}

let busy = false;

// Sends what waits in turn. `onto` gives an entry as it is to be sent after those before it; `clash` is asked about an entry that cannot be kept as it is: it gives
// the body to send instead, null to drop the entry, or undefined to leave it waiting.
export async function sendAll({ onto, sent, clash }) {
  if (busy) return;
  busy = true;
  try {
    for (const entry of await waiting()) {
      let now = onto(entry);
      for (;;) {
        try {
          const answer = await send(now);
          await drop(entry.n);
          await sent(now, answer);
          break;
        } catch (error) {
          if (error instanceof Away || (error instanceof Refused && [401, 429, 500, 502, 503, 507].includes(error.status))) return;
          const body = await clash(now, error);
          if (body === undefined) return;
          if (body === null) { await drop(entry.n); break; }
          now = { ...now, body };
        }
      }
    }
  } finally {
    busy = false;
  }
}
