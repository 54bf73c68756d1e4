// The firm's own tables: keep, bring in, take out.
import { ask } from "./ask.js";

const problems = document.getElementById("problems");

async function put(name, text) {
  problems.textContent = "";
  try {
    await ask(`/api/own/${encodeURIComponent(name)}`, { method: "PUT", body: { text } });
    location.reload();
  } catch (error) {
    problems.textContent = error.message;
  }
}

for (const form of document.querySelectorAll("form[data-table]")) {
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    put(form.dataset.table, form.querySelector("textarea").value);
  });
}
for (const button of document.querySelectorAll("[data-out]")) {
  button.addEventListener("click", async () => {
    try {
      await ask(`/api/own/${button.dataset.out}`, { method: "DELETE" });
      location.reload();
    } catch (error) {
      problems.textContent = error.message;
    }
  });
}
document.getElementById("bring-table").addEventListener("submit", async (event) => {
  event.preventDefault();
  const file = document.getElementById("table-file").files[0];
  await put(file.name.replace(/\.toml$/i, ""), await file.text());
});
