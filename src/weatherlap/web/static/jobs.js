// The list of jobs: bring in a job file.
import { ask } from "./ask.js";

const problems = document.getElementById("problems");
document.getElementById("bring-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  problems.textContent = "";
  const file = document.getElementById("bring-file").files[0];
  try {
    const job = await ask("/api/jobs", { method: "POST", body: { text: await file.text() } });
    location.href = `/job/${job.id}`;
  } catch (error) {
    problems.textContent = error.message;
  }
});
