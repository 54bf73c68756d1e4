// Sizes of a ready corner: step or type them and see it drawn at once.
import { ask } from "./ask.js";
import { inches, tape } from "./tape.js";

const form = document.getElementById("begin");
const picture = document.getElementById("picture");
const problems = document.getElementById("problems");
let turn = 0;

function given() {
  const sizes = {};
  for (const step of form.querySelectorAll(".stepper input")) sizes[step.name] = step.value;
  return { detail: form.dataset.detail, variant: form.elements.variant.value, sizes };
}

async function draw() {
  const mine = ++turn;
  try {
    const svg = await ask("/api/details/picture", { method: "POST", body: given(), plain: true });
    if (mine !== turn) return;
    picture.innerHTML = svg;
    problems.textContent = "";
  } catch (error) {
    if (mine === turn) problems.textContent = error.message;
  }
}

function stepOf(value) {
  return value < 3 ? 1 / 8 : value < 12 ? 1 / 2 : value < 48 ? 1 : 3;
}

form.addEventListener("click", (event) => {
  const by = Number(event.target.closest("[data-by]")?.dataset.by || 0);
  if (!by) return;
  const box = event.target.closest(".stepper");
  const input = box.querySelector("input");
  const now = inches(input.value);
  if (Number.isNaN(now)) return;
  const least = Number(box.dataset.least);
  const most = Number(box.dataset.most);
  const next = Math.round((now + by * stepOf(now - (by < 0 ? 0.01 : 0))) * 16) / 16;
  input.value = tape(Math.min(most, Math.max(least, next)));
  draw();
});
form.addEventListener("input", draw);
form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const body = { ...given(), title: document.getElementById("job-title").value };
  try {
    const job = await ask("/api/jobs", { method: "POST", body });
    location.href = `/job/${job.id}`;
  } catch (error) {
    problems.textContent = error.message;
  }
});
// Before this a press would only load the page again.
form.querySelector("[type=submit]").disabled = false;
