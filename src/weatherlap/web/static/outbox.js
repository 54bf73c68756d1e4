// What is entered on a page: sent at once, or kept on the phone and sent when the server answers.
import { ask, Away, newKey, Refused } from "./ask.js";
import { askClash, askGone } from "./dialogs.js";
import { el, fill } from "./make.js";
import { drop, keep, sendAll, waiting } from "./queue.js";

const $ = (id) => document.getElementById(id);

export class Outbox {
  // `shown` is called when what waits has changed, `after` when something that waited was sent.
  constructor(job, { shown = () => {}, after = () => {} } = {}) {
    this.job = job;
    this.shown = shown;
    this.after = after;
    this.pending = [];
    window.addEventListener("online", () => this.flush());
    setInterval(() => { if (this.pending.length) this.flush(); }, 8000);
  }

  get mine() { return this.pending.filter((entry) => entry.job === this.job); }

  async keep(entry) {
    await keep({ ...entry, job: this.job });
    await this.show();
  }

  async throwAway(entry) {
    await drop(entry.n);
    await this.show();
  }

  async show() {
    try { this.pending = await waiting(); } catch { this.pending = []; }
    const count = this.pending.length;
    $("waits").hidden = !count;
    $("waits").textContent = count ? `${count} waiting to be sent` : "";
    $("pending").hidden = !this.mine.length;
    fill($("pending-list"), this.mine.map((entry) => el("li", { class: "lapline" },
      el("span", {}, entry.words ?? entry.kind),
      el("button", { type: "button", "aria-label": `Throw away: ${entry.words ?? entry.kind}`, on: { click: () => this.throwAway(entry) } }, "Throw away"))));
    this.shown();
  }

  async flush() {
    let photos = 0, acts = 0;
    const bases = {};
    await sendAll({
      // What was entered in a row is made on what the one before gave.
      onto: (entry) => (entry.kind === "act" && bases[entry.job] ? { ...entry, body: { ...entry.body, base: bases[entry.job] } } : entry),
      sent: async (entry, answer) => {
        if (entry.kind === "act") bases[entry.job] = answer.job?.revision ?? answer.revision;
        photos += entry.kind === "photo" && entry.job === this.job;
        acts += entry.kind === "act" && entry.job === this.job;
        await this.show();
      },
      clash: async (entry, error) => {
        if (error.conflicts?.length) {
          const choices = await askClash(error.conflicts);
          return choices ? { ...entry.body, choices } : undefined;
        }
        return await askGone(entry.words ?? "An entry that waited", error.message) ? null : undefined;
      },
    });
    await this.show();
    if (photos || acts) await this.after({ photos, acts });
  }
}

// Writes into the job from a page that shows no drawing; gives the answer, or null if it waits.
export async function write(outbox, base, act, words, choices = {}, key = newKey()) {
  const body = { base, act, key, choices, bare: true };
  try {
    return await ask(`/api/jobs/${outbox.job}/acts`, { method: "POST", body });
  } catch (error) {
    if (error instanceof Away) {
      await outbox.keep({ kind: "act", body, words });
      return null;
    }
    if (error instanceof Refused && error.status === 409 && error.conflicts.length) {
      const chosen = await askClash(error.conflicts);
      if (chosen) return write(outbox, base, act, words, chosen, key);
    }
    throw error;
  }
}
