// Contract and change orders: an answer is written down; what an allowance came to.
import { ask, Away, newKey } from "./ask.js";
import { Outbox, write } from "./outbox.js";

const $ = (id) => document.getElementById(id);
const { job, revision } = JSON.parse($("begins").textContent);
const outbox = new Outbox(job, { after: () => location.reload() });
const key = newKey();
const form = $("answer");

function say(words, wrong = false) {
  $("said").textContent = words;
  $("said").classList.toggle("wrong", wrong);
  $("said").scrollIntoView({ block: "nearest" });
}

const chosen = () => form.querySelector("input[name=answer]:checked").value;

form?.addEventListener("change", () => {
  const row = $("consequence-row");
  if (row) row.hidden = chosen() !== "declined";
});

form?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const problems = $("answer-problems");
  problems.textContent = "";
  const body = {
    base: revision, key, answer: chosen(), by: $("answer-by").value.trim(), day: $("answer-day").value,
    why: $("answer-why")?.value ?? "", consequence: chosen() === "declined" ? $("answer-consequence").value : "",
    photos: [...form.querySelectorAll("input[name=photo]:checked")].map((box) => box.value),
  };
  if (!body.by) { problems.textContent = "Say who answered."; $("answer-by").focus(); return; }
  if (!body.day) { problems.textContent = "Say on which day."; $("answer-day").focus(); return; }
  try {
    await ask(`/api/jobs/${job}/states`, { method: "POST", body });
    location.reload();
  } catch (error) {
    problems.textContent = error instanceof Away ? "No signal: an answer is kept only when the machine that serves can be reached. Nothing was written down." : error.message;
  }
});

for (const row of document.querySelectorAll("form[data-allowance]")) {
  row.addEventListener("submit", async (event) => {
    event.preventDefault();
    const text = row.querySelector("input").value.trim().replace(",", ".");
    const actual = text === "" ? null : Number(text);
    if (actual !== null && !(actual >= 0 && actual <= 1e6)) return say("How many it came to, as a number from 0.", true);
    const { allowance, words } = row.dataset;
    try {
      const act = { do: "came-to", allowance, actual };
      const answer = await write(outbox, revision, act, `${words}: came to ${text || "nothing known yet"}`);
      if (answer) location.reload();
      else say("No signal: kept on this device and sent later.");
    } catch (error) {
      say(error.message, true);
    }
  });
}
outbox.show().then(() => outbox.flush());
